using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>The most trusted evidence an estimate rests on, least trusted first (order: common practice).</summary>
public enum EstimateBasis
{
    None = 0,
    ClassAsserted = 1,
    Wraps = 2,
    Gauge = 3,
    Count = 4,
    Band = 5,
    Sample = 6,
}

/// <summary>How long a lot is: low is what may be promised, likely the median, high what it exceeds about once in twenty.</summary>
public readonly record struct LengthRange(Length Low, Length Likely, Length High);

/// <summary>Length per mass of a yarn with its uncertainty, and where it comes from.</summary>
/// <param name="WeightClass">The class, null when the evidence gives a length but no class.</param>
/// <param name="Low">5 % point of length per mass.</param>
/// <param name="Likely">Median.</param>
/// <param name="High">95 % point.</param>
/// <param name="Basis">The most trusted evidence that was used.</param>
/// <param name="Sentence">The class, the basis, and what did not agree, in words.</param>
/// <param name="ModelVersion">Version of the arithmetic.</param>
/// <param name="TableVersion">Version of the weight class table.</param>
public sealed record YardageEstimate(
    WeightClass? WeightClass,
    LinearDensity Low,
    LinearDensity Likely,
    LinearDensity High,
    EstimateBasis Basis,
    Phrase Sentence,
    string ModelVersion,
    string TableVersion)
{
    /// <summary>Runners-up less probable than this are not told.</summary>
    private const double LeastTold = 0.02;

    /// <summary>The distribution behind low, likely and high.</summary>
    public LengthMixture Distribution { get; init; }

    /// <summary>What was reckoned for the moisture of the room; null for nothing.</summary>
    public MoistureCorrection? Moisture { get; init; }

    /// <summary>The probability of every class.</summary>
    public ClassChances Chances { get; init; }

    /// <summary>Probability of <see cref="WeightClass"/>, 0 to 1; 0 where there is no class.</summary>
    public double Probability => WeightClass is { } weightClass ? Chances[weightClass] : 0;

    /// <summary>Evidence that did not agree and was left out, in words; also at the end of <see cref="Sentence"/>.</summary>
    public IReadOnlyList<Phrase> Conflicts { get; init; } = [];

    /// <summary>Other classes that it may be, the likeliest first; those under 2 % are left out.</summary>
    public IReadOnlyList<ClassChance> RunnersUp => [.. Chances.AtLeast(LeastTold).Where(each => each.WeightClass != WeightClass)];

    /// <summary>
    /// The length of a mass of this yarn. Gross and tare are each rounded to the scale's division d, uniformly within ±d/2, so
    /// the net mass has the standard deviation d/√6 (computed). Its relative size joins the yarn's own spread in quadrature, on
    /// the logarithmic scale, below and above the median. High never exceeds what a mass greater by one division
    /// could hold, since the net mass can't be further off. Without a division the mass counts as exact.
    /// </summary>
    /// <param name="mass">Zero or more.</param>
    /// <param name="scaleDivision">The division d of the scale, zero or more; null counts as exact.</param>
    /// <exception cref="ArgumentOutOfRangeException">Mass or division is negative.</exception>
    public LengthRange LengthOf(Mass mass, Mass? scaleDivision = null)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(mass, Mass.Zero);
        Mass division = scaleDivision ?? Mass.Zero;
        ArgumentOutOfRangeException.ThrowIfLessThan(division, Mass.Zero, nameof(scaleDivision));
        LengthRange exact = new(Low.LengthOf(mass), Likely.LengthOf(mass), High.LengthOf(mass));
        if (mass == Mass.Zero || division == Mass.Zero)
        {
            return exact;
        }

        double weighing = NormalCurve.NinetyFivePercent * (division.Milligrams / Math.Sqrt(6) / mass.Milligrams);
        double below = Math.Log(Likely.MetresPer100Grams / Low.MetresPer100Grams);
        double above = Math.Log(High.MetresPer100Grams / Likely.MetresPer100Grams);
        double low = exact.Likely.Metres * Math.Exp(-Math.Sqrt((below * below) + (weighing * weighing)));
        double high = exact.Likely.Metres * Math.Exp(Math.Sqrt((above * above) + (weighing * weighing)));
        return new(Length.FromMetres(low), exact.Likely, Length.FromMetres(Math.Min(high, High.LengthOf(mass + division).Metres)));
    }
}
