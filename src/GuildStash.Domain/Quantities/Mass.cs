using System.Globalization;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>
/// A mass in whole milligrams. Negative values are allowed, because differences of weighings and movements out of a place
/// need them; where only a positive mass makes sense, <see cref="MassLimits"/> or the database says so.
/// </summary>
/// <remarks>
/// The factories for grams and ounces take what a person or a scale gives and reject more than <see cref="MaxValue"/> either
/// way. <see cref="FromMilligrams"/> and sums are for stored books, which may grow beyond it; they are bounded by
/// <see cref="long"/> (about 9 million tonnes) and throw <see cref="OverflowException"/> there.
/// </remarks>
public readonly record struct Mass : IComparable<Mass>
{
    private const long MilligramsPerGram = 1_000;
    private const decimal GramsPerOunce = 28.349523125m;
    private const decimal MaxGrams = 10_000_000m;

    private Mass(long milligrams) => Milligrams = milligrams;

    public static Mass Zero => default;

    /// <summary>10 t: more than a donation room ever weighs in one go.</summary>
    public static Mass MaxValue => new((long)MaxGrams * MilligramsPerGram);

    /// <summary>Exact value in milligrams.</summary>
    public long Milligrams { get; }

    /// <summary>Exact value in grams, at most three decimals.</summary>
    public decimal Grams => Milligrams / 1_000m;

    /// <summary>Value in avoirdupois ounces (1 oz = 28.349523125 g, exact), for display.</summary>
    public double Ounces => (double)(Grams / GramsPerOunce);

    /// <summary>Any stored whole number of milligrams.</summary>
    public static Mass FromMilligrams(long milligrams) => new(milligrams);

    /// <summary>Grams, rounded half-even to the milligram.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Outside ±10,000,000 g.</exception>
    public static Mass FromGrams(decimal grams) =>
        new((long)decimal.Round(Guard.InRange(grams, -MaxGrams, MaxGrams, nameof(grams)) * MilligramsPerGram, MidpointRounding.ToEven));

    /// <summary>Whole grams.</summary>
    /// <inheritdoc cref="FromGrams(decimal)" path="/exception"/>
    public static Mass FromGrams(long grams) => FromGrams((decimal)grams);

    /// <summary>Grams from a calculation, rounded half-even to the milligram.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN, infinite, or outside ±10,000,000 g.</exception>
    public static Mass FromGrams(double grams) =>
        new((long)Math.Round(Guard.InRange(grams, -(double)MaxGrams, (double)MaxGrams, nameof(grams)) * MilligramsPerGram, MidpointRounding.ToEven));

    /// <summary>Avoirdupois ounces, rounded half-even to the milligram.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Outside ±10,000,000 g.</exception>
    public static Mass FromOunces(decimal ounces) =>
        FromGrams(Guard.InRange(ounces, -MaxGrams / GramsPerOunce, MaxGrams / GramsPerOunce, nameof(ounces)) * GramsPerOunce);

    public static Mass Min(Mass a, Mass b) => a <= b ? a : b;

    public static Mass Max(Mass a, Mass b) => a >= b ? a : b;

    public static Mass operator +(Mass a, Mass b) => new(checked(a.Milligrams + b.Milligrams));

    /// <summary>The difference, which may be negative.</summary>
    public static Mass operator -(Mass a, Mass b) => new(checked(a.Milligrams - b.Milligrams));

    public static Mass operator -(Mass a) => new(checked(-a.Milligrams));

    public static bool operator <(Mass a, Mass b) => a.Milligrams < b.Milligrams;

    public static bool operator >(Mass a, Mass b) => a.Milligrams > b.Milligrams;

    public static bool operator <=(Mass a, Mass b) => a.Milligrams <= b.Milligrams;

    public static bool operator >=(Mass a, Mass b) => a.Milligrams >= b.Milligrams;

    public int CompareTo(Mass other) => Milligrams.CompareTo(other.Milligrams);

    /// <summary>Grams with invariant formatting, for logs and tests.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Grams} g");
}
