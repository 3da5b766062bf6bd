using System.Globalization;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>A length of yarn in metres, unrounded. Negative values are allowed as differences.</summary>
public readonly record struct Length : IComparable<Length>
{
    /// <summary>Metres in an international yard, exact (international yard and pound agreement, 1959).</summary>
    public const double MetresPerYard = 0.9144;

    private const double MetresPerInch = 0.0254;
    private const double MaxMetres = 1e12;

    private Length(double metres) => Metres = metres;

    public static Length Zero => default;

    public double Metres { get; }

    /// <summary>International yards (1 yd = 0.9144 m, exact).</summary>
    public double Yards => Metres / MetresPerYard;

    /// <summary>Inches (1 in = 25.4 mm, exact).</summary>
    public double Inches => Metres / MetresPerInch;

    /// <exception cref="ArgumentOutOfRangeException">NaN, infinite, or outside ±1e12 m.</exception>
    public static Length FromMetres(double metres) => new(Guard.InRange(metres, -MaxMetres, MaxMetres, nameof(metres)));

    /// <exception cref="ArgumentOutOfRangeException">NaN, infinite, or outside ±1e12 yd.</exception>
    public static Length FromYards(double yards) => new(Guard.InRange(yards, -MaxMetres, MaxMetres, nameof(yards)) * MetresPerYard);

    /// <summary>The nearest length there can be, for sentences that name a value out of range; NaN is none.</summary>
    public static Length Nearest(double metres) => new(double.IsNaN(metres) ? 0 : Math.Clamp(metres, -MaxMetres, MaxMetres));

    public static Length Min(Length a, Length b) => a <= b ? a : b;

    public static Length Max(Length a, Length b) => a >= b ? a : b;

    public static Length operator +(Length a, Length b) => new(a.Metres + b.Metres);

    public static Length operator -(Length a, Length b) => new(a.Metres - b.Metres);

    public static bool operator <(Length a, Length b) => a.Metres < b.Metres;

    public static bool operator >(Length a, Length b) => a.Metres > b.Metres;

    public static bool operator <=(Length a, Length b) => a.Metres <= b.Metres;

    public static bool operator >=(Length a, Length b) => a.Metres >= b.Metres;

    public int CompareTo(Length other) => Metres.CompareTo(other.Metres);

    /// <summary>Metres with invariant formatting, for logs and tests.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Metres} m");
}
