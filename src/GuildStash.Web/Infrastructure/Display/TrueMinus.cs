using System.Globalization;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// For people a negative figure has a minus sign (U+2212), as wide as a plus; a hyphen is easily missed. Files and JSON, which programs
/// read, keep the hyphen-minus of the invariant culture.
/// </summary>
public static class TrueMinus
{
    public const string Sign = "\u2212";

    /// <summary>The culture with that sign before negative numbers.</summary>
    public static CultureInfo Of(CultureInfo culture)
    {
        if (culture.NumberFormat.NegativeSign == Sign)
        {
            return culture;
        }

        CultureInfo own = (CultureInfo)culture.Clone();
        own.NumberFormat.NegativeSign = Sign;
        return own;
    }
}
