using System.Globalization;
using System.Security.Claims;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>The unit in which a person reads and types lengths.</summary>
public enum LengthUnit
{
    Metres = 0,
    Yards = 1,
}

/// <summary>Light or dark, or as the person's system says.</summary>
public enum ThemeChoice
{
    System = 0,
    Light = 1,
    Dark = 2,
}

/// <summary>How one person reads lengths, numbers and dates.</summary>
/// <param name="Culture">For numbers and dates.</param>
/// <param name="LengthUnit">Metres or yards.</param>
/// <param name="Theme">Light, dark or the system's.</param>
public sealed record DisplayChoices(CultureInfo Culture, LengthUnit LengthUnit, ThemeChoice Theme)
{
    /// <summary>
    /// Unit and theme from the person's claims, the culture from the request. Who chose no unit reads yards where the region
    /// measures in them, else metres.
    /// </summary>
    public static DisplayChoices Of(ClaimsPrincipal person)
    {
        CultureInfo culture = CultureInfo.CurrentCulture;
        LengthUnit unit = Enum.TryParse(person.FindFirstValue(DisplayClaims.LengthUnit), out LengthUnit chosen)
            ? chosen
            : UsualIn(culture);
        _ = Enum.TryParse(person.FindFirstValue(DisplayClaims.Theme), out ThemeChoice theme);
        return new(culture, unit, theme);
    }

    private static LengthUnit UsualIn(CultureInfo culture) =>
        !culture.IsNeutralCulture && culture.Name is { Length: > 0 } name && name != Localisation.PseudoLanguage.CultureName
        && !new RegionInfo(name).IsMetric
            ? LengthUnit.Yards
            : LengthUnit.Metres;
}
