using System.Globalization;
using GuildStash.Domain.Rules;

namespace GuildStash.Printing;

/// <summary>A colour for people: its name, and the swatch where one was picked.</summary>
/// <param name="Name">Colour name in the reader's language.</param>
/// <param name="Hex">Six hexadecimal digits, with or without "#"; null when no swatch was picked.</param>
public sealed record PrintedColour(string Name, string? Hex)
{
    /// <exception cref="ArgumentException">The hex text is not six hexadecimal digits.</exception>
    public string? Hex { get; } = Hex is null || IsHex(Hex)
        ? Hex?.TrimStart('#')
        : throw new ArgumentException($"The colour \"{Hex}\" is not six hexadecimal digits such as #b5485a.", nameof(Hex));

    internal (byte Red, byte Green, byte Blue)? Rgb =>
        Hex is null ? null : (Channel(0), Channel(2), Channel(4));

    private byte Channel(int start) => byte.Parse(Hex.AsSpan(start, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture);

    private static bool IsHex(string hex)
    {
        string digits = hex.StartsWith('#') ? hex[1..] : hex;
        return digits.Length == 6 && digits.All(char.IsAsciiHexDigit);
    }
}

/// <summary>A weight class, printed as its name beside a strand whose thickness is to scale.</summary>
/// <param name="Name">Name in the reader's language.</param>
/// <param name="TypicalWraps">Wraps per inch typical of the class, 0.5 to 100; the strand's thickness goes with 1 / wraps.</param>
public sealed record PrintedWeightClass(string Name, double TypicalWraps)
{
    /// <exception cref="ArgumentOutOfRangeException">Outside 0.5 to 100, or NaN.</exception>
    public double TypicalWraps { get; } = Guard.InRange(TypicalWraps, 0.5, 100, nameof(TypicalWraps));
}

/// <summary>How far yarn reaches, in metres: surely, probably, at most.</summary>
public sealed record PrintedLength
{
    private const double LongestMetres = 10_000_000;

    /// <exception cref="ArgumentOutOfRangeException">Negative, above 10,000 km, NaN, or not in rising order.</exception>
    public PrintedLength(double lowMetres, double likelyMetres, double highMetres)
    {
        LowMetres = Guard.InRange(lowMetres, 0, LongestMetres, nameof(lowMetres));
        LikelyMetres = Guard.InRange(likelyMetres, lowMetres, LongestMetres, nameof(likelyMetres));
        HighMetres = Guard.InRange(highMetres, likelyMetres, LongestMetres, nameof(highMetres));
    }

    /// <summary>The length that may be promised.</summary>
    public double LowMetres { get; }

    public double LikelyMetres { get; }

    public double HighMetres { get; }
}
