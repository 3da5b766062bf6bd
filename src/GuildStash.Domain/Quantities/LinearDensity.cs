using System.Globalization;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>
/// How long a yarn is for its mass, kept as metres per 100 g and greater than 0. Compared by length: the greater density here
/// is the finer yarn. The default value stands for no yarn and has no length.
/// </summary>
public readonly record struct LinearDensity : IComparable<LinearDensity>
{
    private const double MilligramsPer100Grams = 100_000;
    private const double Least = 1e-3;
    private const double Most = 1e7;

    private LinearDensity(double metresPer100Grams) => MetresPer100Grams = metresPer100Grams;

    public double MetresPer100Grams { get; }

    public double YardsPer100Grams => MetresPer100Grams / Length.MetresPerYard;

    /// <summary>Grams per kilometre (ISO 1144). Infinite for the default value.</summary>
    public double Tex => 1e5 / MetresPer100Grams;

    /// <summary>Metric count: metres per gram.</summary>
    public double Nm => MetresPer100Grams / 100;

    /// <exception cref="ArgumentOutOfRangeException">NaN or outside 0.001 to 10,000,000 m per 100 g.</exception>
    public static LinearDensity FromMetresPer100Grams(double metres) => new(Guard.InRange(metres, Least, Most, nameof(metres)));

    /// <inheritdoc cref="FromMetresPer100Grams" path="/exception"/>
    public static LinearDensity FromYardsPer100Grams(double yards) => FromMetresPer100Grams(yards * Length.MetresPerYard);

    /// <param name="tex">Grams per kilometre, 0.01 to 100,000,000.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or out of range.</exception>
    public static LinearDensity FromTex(double tex) => new(1e5 / Guard.InRange(tex, 1e5 / Most, 1e5 / Least, nameof(tex)));

    /// <summary>The length of yarn that weighs <paramref name="mass"/>, unrounded; negative for a negative mass.</summary>
    public Length LengthOf(Mass mass) => Length.FromMetres(MetresPer100Grams * mass.Milligrams / MilligramsPer100Grams);

    /// <summary>The mass of <paramref name="length"/> of this yarn, rounded half-even to the milligram (about a millimetre of yarn).</summary>
    /// <exception cref="InvalidOperationException">This is the default value.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The mass is beyond ±10 t.</exception>
    public Mass MassOf(Length length) => MetresPer100Grams > 0
        ? Mass.FromGrams(length.Metres * 100 / MetresPer100Grams)
        : throw new InvalidOperationException("A linear density that was never set has no mass for a length.");

    public static bool operator <(LinearDensity a, LinearDensity b) => a.MetresPer100Grams < b.MetresPer100Grams;

    public static bool operator >(LinearDensity a, LinearDensity b) => a.MetresPer100Grams > b.MetresPer100Grams;

    public static bool operator <=(LinearDensity a, LinearDensity b) => a.MetresPer100Grams <= b.MetresPer100Grams;

    public static bool operator >=(LinearDensity a, LinearDensity b) => a.MetresPer100Grams >= b.MetresPer100Grams;

    public int CompareTo(LinearDensity other) => MetresPer100Grams.CompareTo(other.MetresPer100Grams);

    /// <summary>Metres per 100 g with invariant formatting, for logs and tests.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{MetresPer100Grams} m/100 g");
}
