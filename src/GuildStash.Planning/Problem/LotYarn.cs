using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Planning.Problem;

/// <summary>How long a lot's yarn is for its mass, with what is needed to promise at any safety and to draw at random.</summary>
public sealed record LotYarn
{
    private LotYarn(LinearDensity low, LinearDensity likely, LinearDensity high, LengthMixture distribution, bool restsOnClass, WeightClass? weightClass) =>
        (Low, Likely, High, Distribution, RestsOnClass, WeightClass) = (low, likely, high, distribution, restsOnClass, weightClass);

    /// <summary>5 % point.</summary>
    public LinearDensity Low { get; }

    /// <summary>Median.</summary>
    public LinearDensity Likely { get; }

    /// <summary>95 % point.</summary>
    public LinearDensity High { get; }

    /// <summary>The distribution behind the three figures; empty where only they are known.</summary>
    public LengthMixture Distribution { get; }

    /// <summary>Whether the spread is that of a class, so that a part of it is shared with the other lots of the class.</summary>
    public bool RestsOnClass { get; }

    /// <summary>The class whose error is shared.</summary>
    public WeightClass? WeightClass { get; }

    public static LotYarn Of(YardageEstimate estimate) =>
        new(estimate.Low, estimate.Likely, estimate.High, estimate.Distribution, estimate.Basis <= EstimateBasis.Wraps, estimate.WeightClass);

    /// <summary>From three figures alone: ln(length per mass) counts as normal below and above the median, each side with its own spread.</summary>
    /// <param name="low">Metres per 100 g, 0.001 to 10,000,000.</param>
    /// <param name="likely">Not below <paramref name="low"/>.</param>
    /// <param name="high">Not below <paramref name="likely"/>.</param>
    /// <param name="basis">What the figures rest on; a class and wraps share their error with other lots of the class.</param>
    /// <exception cref="ArgumentOutOfRangeException">Out of range, or not in order.</exception>
    public static LotYarn Of(double low, double likely, double high, WeightClass? weightClass = null, EstimateBasis basis = EstimateBasis.ClassAsserted)
    {
        Guard.InRange(likely, low, high, nameof(likely));
        return new(
            LinearDensity.FromMetresPer100Grams(low),
            LinearDensity.FromMetresPer100Grams(likely),
            LinearDensity.FromMetresPer100Grams(high),
            default,
            basis <= EstimateBasis.Wraps,
            weightClass);
    }

    /// <summary>The figure that the yarn is not below with this probability: 0.95 is low, 0.5 likely.</summary>
    /// <param name="safety">0.5 to 0.999.</param>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public LinearDensity At(double safety)
    {
        Guard.InRange(safety, 0.5, 0.999, nameof(safety));
        double z = NormalCurve.PointOf(safety);
        // The figures themselves at their own points, whatever rounding they went through.
        return Math.Abs(safety - 0.95) < 1e-9 ? Low
            : safety == 0.5 ? Likely
            : LinearDensity.FromMetresPer100Grams(Distribution.Count > 0
                ? Math.Exp(Distribution.Point(-z))
                : Likely.MetresPer100Grams * Math.Exp(-z * LogSdBelow));
    }

    /// <summary>Spread of ln(length per mass) below the median.</summary>
    internal double LogSdBelow => Math.Log(Likely.MetresPer100Grams / Low.MetresPer100Grams) / NormalCurve.NinetyFivePercent;

    /// <summary>Spread above it.</summary>
    internal double LogSdAbove => Math.Log(High.MetresPer100Grams / Likely.MetresPer100Grams) / NormalCurve.NinetyFivePercent;
}
