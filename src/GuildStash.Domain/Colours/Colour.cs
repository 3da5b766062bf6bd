using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Colours;

/// <summary>An sRGB colour with 8 bits to the channel, as a screen shows it. The default value is black.</summary>
public readonly record struct Colour(byte Red, byte Green, byte Blue)
{
    public static Colour Black => new(0, 0, 0);

    public static Colour White => new(255, 255, 255);

    /// <summary>"#rrggbb" in lower case.</summary>
    public string Hex => string.Create(CultureInfo.InvariantCulture, $"#{Red:x2}{Green:x2}{Blue:x2}");

    /// <summary>WCAG 2.2 relative luminance, 0 (black) to 1 (white).</summary>
    public double RelativeLuminance => (0.2126 * Decode(Red)) + (0.7152 * Decode(Green)) + (0.0722 * Decode(Blue));

    /// <summary>CIE XYZ, D65, white at Y = 1 (IEC 61966-2-1 primaries).</summary>
    public Xyz Xyz
    {
        get
        {
            (double r, double g, double b) = (Decode(Red), Decode(Green), Decode(Blue));
            return new(
                (0.4124564 * r) + (0.3575761 * g) + (0.1804375 * b),
                (0.2126729 * r) + (0.7151522 * g) + (0.0721750 * b),
                (0.0193339 * r) + (0.1191920 * g) + (0.9503041 * b));
        }
    }

    public Lab Lab => Lab.FromXyz(Xyz);

    public OkLab OkLab => OkLab.FromLinearRgb(Decode(Red), Decode(Green), Decode(Blue));

    public OkLch OkLch => OkLch.FromOkLab(OkLab);

    /// <summary>Reads "#rrggbb", in any case, with or without the number sign.</summary>
    public static Outcome<Colour> Parse(string? hex) => TryParse(hex, out Colour colour)
        ? colour
        : Refusal.Invalid("colourHex", "\"{0}\" is not a colour: write # and six digits 0 to 9 or a to f, for instance #8a3c2e.", hex is { Length: > 24 } ? hex[..24] + "…" : hex ?? "");

    /// <inheritdoc cref="Parse"/>
    public static bool TryParse([NotNullWhen(true)] string? hex, out Colour colour)
    {
        colour = default;
        ReadOnlySpan<char> digits = hex.AsSpan().Trim();
        digits = digits.StartsWith('#') ? digits[1..] : digits;
        if (digits.Length != 6 || !int.TryParse(digits, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out int value))
        {
            return false;
        }

        colour = new((byte)(value >> 16), (byte)(value >> 8), (byte)value);
        return true;
    }

    public override string ToString() => Hex;

    /// <summary>sRGB transfer function, decoded (IEC 61966-2-1; WCAG 2.2 uses the same).</summary>
    private static double Decode(byte channel)
    {
        double c = channel / 255.0;
        return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
    }
}
