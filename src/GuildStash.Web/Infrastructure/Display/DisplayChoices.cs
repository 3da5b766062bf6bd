using System.Globalization;
using System.Security.Claims;
using GuildStash.Domain.People;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>How one person reads lengths, numbers and dates.</summary>
/// <param name="Culture">For numbers and dates.</param>
/// <param name="LengthUnit">Metres or yards.</param>
/// <param name="Theme">Light, dark or the system's.</param>
public sealed record DisplayChoices(CultureInfo Culture, LengthUnit LengthUnit, Theme Theme)
{
    /// <summary>
    /// Unit and theme from the person's claims, which carry the guild's unit for who chose none; the culture from the request.
    /// A visitor without claims reads yards where the region measures in them, else metres.
    /// </summary>
    public static DisplayChoices Of(ClaimsPrincipal person)
    {
        CultureInfo culture = CultureInfo.CurrentCulture;
        LengthUnit unit = Enum.TryParse(person.FindFirstValue(DisplayClaims.LengthUnit), out LengthUnit chosen)
            ? chosen
            : UsualIn(culture);
        _ = Enum.TryParse(person.FindFirstValue(DisplayClaims.Theme), out Theme theme);
        return new(culture, unit, theme);
    }

    private static LengthUnit UsualIn(CultureInfo culture) =>
        !culture.IsNeutralCulture && culture.Name is { Length: > 0 } name && name != Localisation.PseudoLanguage.CultureName
        && !new RegionInfo(name).IsMetric
            ? LengthUnit.Yards
            : LengthUnit.Metres;
}
