using GuildStash.Domain.Counts;

namespace GuildStash.Domain.Bands;

internal enum Unit
{
    Metre = 0,
    Yard = 1,
    Gram = 2,
    Kilogram = 3,
    Ounce = 4,
    Pound = 5,
    Millimetre = 6,
    Centimetre = 7,
    Inch = 8,
}

/// <summary>Numbers with their units as bands write them.</summary>
internal static class Amounts
{
    private static readonly Vocabulary<Unit> Words = new(
        (Unit.Metre, "m|mt|mts|mtr|mtrs|meter|meters|metern|metre|metres|metro|metros|metri|メートル"),
        (Unit.Yard, "yd|yds|yard|yards|yarda|yardas|verges|ヤード"),
        (Unit.Gram, "g|gr|grs|gm|gms|gram|grams|gramm|gramme|grammes|gramo|gramos|grammi|グラム"),
        (Unit.Kilogram, "kg|kgs|kilo|kilos"),
        (Unit.Ounce, "oz|ozs|ounce|ounces|once|onces|onza|onzas"),
        (Unit.Pound, "lb|lbs|pound|pounds"),
        (Unit.Millimetre, "mm|millimeter|millimetre|millimetres|ミリ"),
        (Unit.Centimetre, "cm|cms|centimeter|centimetre|centimetres|センチ"),
        (Unit.Inch, "in|inch|inches|zoll|pouce|pouces|pulgada|pulgadas"));

    private static readonly Vocabulary<bool> UpTo = new((true, "to|bis|a|hasta|から"));

    public static bool TryUnit(BandScan scan, int at, out Unit unit, out int next)
    {
        if (scan.IsSign(at, "\""))
        {
            (unit, next) = (Unit.Inch, at + 1);
            return true;
        }

        return Words.TryMatch(scan, at, out unit, out next);
    }

    /// <summary>"3", "3,5", "1¾", "3-4", "3 bis 4".</summary>
    public static bool TryRange(BandScan scan, int at, out BandRange range, out int next)
    {
        (range, next) = (new BandRange(0, 0), at);
        if (scan.Number(at) is not { } low)
        {
            return false;
        }

        int second = scan.IsSign(at + 1, "-~") ? at + 2 : UpTo.TryMatch(scan, at + 1, out _, out int behind) ? behind : at;
        if (second > at && scan.Number(second) is { } high)
        {
            (range, next) = (BandRange.Of(low.Value, high.Value), second + 1);
            return true;
        }

        (range, next) = (BandRange.Of(low.Value, low.Value), at + 1);
        return true;
    }

    /// <summary>"3/4", "1 3/4", "1 ¾": only where a unit that is divided so must follow; elsewhere a slash has other meanings.</summary>
    public static bool TryFraction(BandScan scan, int at, out decimal value, out int next)
    {
        (value, next) = (0, at);
        if (scan.Number(at) is not { IsWhole: true } first)
        {
            return false;
        }

        if (Part(scan, at, first) is { } alone)
        {
            (value, next) = (alone, at + 3);
            return true;
        }

        int second = scan.IsSign(at + 1, "-") ? at + 2 : at + 1;
        if (scan.Number(second) is not { } number)
        {
            return false;
        }

        if (Part(scan, second, number) is { } part)
        {
            (value, next) = (first.Value + part, second + 3);
            return true;
        }

        // A fraction sign that stands apart from its whole number.
        if (number.Value is > 0 and < 1 && !char.IsAsciiDigit(scan.Tokens[second].Key[0]))
        {
            (value, next) = (first.Value + number.Value, second + 1);
            return true;
        }

        return false;
    }

    private static decimal? Part(BandScan scan, int at, NumberText above) =>
        scan.IsSign(at + 1, "/") && scan.Number(at + 2) is { Value: 2 or 3 or 4 or 8 or 16 } below && above is { IsWhole: true, Value: > 0 } && above.Value < below.Value
            ? above.Value / below.Value
            : null;
}
