using System.Globalization;
using System.Security.Claims;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Localisation;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>How one person reads lengths, numbers and dates.</summary>
/// <param name="Culture">For numbers and dates.</param>
/// <param name="LengthUnit">Metres or yards.</param>
/// <param name="Theme">Light, dark or the system's.</param>
public sealed record DisplayChoices(CultureInfo Culture, LengthUnit LengthUnit, Theme Theme)
{
    /// <summary>
    /// Unit and theme from the person's claims, the culture from the request. Who chose no unit reads the guild's; before the
    /// guild is set up, yards where the region measures in them and metres elsewhere.
    /// </summary>
    public static DisplayChoices Of(ClaimsPrincipal person, LengthUnit? guildsUnit)
    {
        CultureInfo culture = CultureInfo.CurrentCulture;
        LengthUnit unit = Enum.TryParse(person.FindFirstValue(DisplayClaims.LengthUnit), out LengthUnit chosen)
            ? chosen
            : guildsUnit ?? UsualIn(culture);
        _ = Enum.TryParse(person.FindFirstValue(DisplayClaims.Theme), out Theme theme);
        return new(culture, unit, theme);
    }

    private static LengthUnit UsualIn(CultureInfo culture) =>
        !culture.IsNeutralCulture && culture.Name is { Length: > 0 } name && name != PseudoLanguage.CultureName
        && !new RegionInfo(name).IsMetric
            ? LengthUnit.Yards
            : LengthUnit.Metres;
}
