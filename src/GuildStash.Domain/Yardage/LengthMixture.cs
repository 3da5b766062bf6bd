using System.Runtime.CompilerServices;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>One possibility for a yarn: with this weight, ln(metres per 100 g) is normal with this mean and standard deviation.</summary>
/// <param name="Weight">Probability, 0 to 1.</param>
/// <param name="Mean">Of ln(metres per 100 g).</param>
/// <param name="Sd">Its standard deviation, more than 0.</param>
/// <param name="ClassSd">The part of <paramref name="Sd"/>, in quadrature, that comes from the row of a class; 0 to <paramref name="Sd"/>.</param>
/// <param name="WeightClass">The class whose row it is; without meaning where <paramref name="ClassSd"/> is 0.</param>
public readonly record struct LengthComponent(double Weight, double Mean, double Sd, double ClassSd, WeightClass WeightClass);

/// <summary>
/// Distribution of ln(metres per 100 g): a mixture of at most eight normal possibilities, whose weights come to 1. A value type
/// that allocates nothing.
/// </summary>
public struct LengthMixture : IEquatable<LengthMixture>
{
    public const int MostComponents = 8;

    /// <summary>Possibilities less likely than this are left out.</summary>
    private const double Negligible = 1e-9;

    private const double Precision = 1e-13;

    private Slots _slots;

    public int Count { get; private set; }

    public readonly LengthComponent this[int index] => (uint)index < (uint)Count ? _slots[index] : throw new ArgumentOutOfRangeException(nameof(index));

    /// <summary>Mean of ln(metres per 100 g).</summary>
    public readonly double Mean
    {
        get
        {
            double mean = 0;
            for (int i = 0; i < Count; i++)
            {
                mean += _slots[i].Weight * _slots[i].Mean;
            }

            return mean;
        }
    }

    /// <summary>The same with every length times e to this power.</summary>
    internal readonly LengthMixture Shifted(double log)
    {
        LengthMixture mixture = default;
        for (int i = 0; i < Count; i++)
        {
            mixture.Add(_slots[i] with { Mean = _slots[i].Mean + log });
        }

        return mixture;
    }

    /// <summary>The same with all weights less, and a share given to one class, which must be among the possibilities; 1 leaves it alone.</summary>
    internal readonly LengthMixture Towards(WeightClass weightClass, double share)
    {
        LengthMixture mixture = default;
        for (int i = 0; i < Count; i++)
        {
            mixture.Add(_slots[i] with { Weight = ((1 - share) * _slots[i].Weight) + (_slots[i].WeightClass == weightClass ? share : 0) });
        }

        return mixture;
    }

    /// <summary>One to eight possibilities, their weights scaled to a sum of 1.</summary>
    /// <exception cref="ArgumentOutOfRangeException">None or more than eight, a weight that is not more than 0, or a spread that is not.</exception>
    public static LengthMixture Of(params ReadOnlySpan<LengthComponent> components)
    {
        Guard.InRange(components.Length, 1, MostComponents, nameof(components));
        LengthMixture mixture = default;
        foreach (LengthComponent component in components)
        {
            Guard.InRange(component.Weight, Negligible, 1, nameof(components));
            Guard.InRange(component.Sd, Negligible, 100, nameof(components));
            mixture.Add(component);
        }

        mixture.Normalise();
        return mixture;
    }

    internal static LengthMixture Single(in LengthComponent only)
    {
        LengthMixture mixture = default;
        mixture.Add(only with { Weight = 1 });
        return mixture;
    }

    internal void Add(in LengthComponent component)
    {
        if (component.Weight > Negligible)
        {
            _slots[Count++] = component;
        }
    }

    /// <summary>Scales the weights to a sum of 1.</summary>
    internal void Normalise()
    {
        double sum = 0;
        for (int i = 0; i < Count; i++)
        {
            sum += _slots[i].Weight;
        }

        for (int i = 0; i < Count; i++)
        {
            _slots[i] = _slots[i] with { Weight = _slots[i].Weight / sum };
        }
    }

    /// <summary>
    /// Bayes' rule for a normal reading: each possibility is combined by precision weighting, and counts for as much more as it
    /// had expected the reading.
    /// </summary>
    /// <param name="reading">Of ln(metres per 100 g).</param>
    /// <param name="sd">Its standard deviation, more than 0.</param>
    public readonly LengthMixture Given(double reading, double sd)
    {
        // The likeliest possibility is scaled to 1, so that none vanishes by underflow.
        double best = double.NegativeInfinity;
        for (int i = 0; i < Count; i++)
        {
            best = Math.Max(best, LogFit(_slots[i], reading, sd));
        }

        LengthMixture posterior = default;
        for (int i = 0; i < Count; i++)
        {
            LengthComponent prior = _slots[i];
            double ofPrior = sd * sd / ((prior.Sd * prior.Sd) + (sd * sd));
            double combined = prior.Sd * Math.Sqrt(ofPrior);
            posterior.Add(new(
                Math.Exp(LogFit(prior, reading, sd) - best),
                (ofPrior * prior.Mean) + ((1 - ofPrior) * reading),
                combined,
                ofPrior * prior.ClassSd,
                prior.WeightClass));
        }

        posterior.Normalise();
        return posterior;
    }

    /// <summary>The smaller of the two tails beyond a reading with its own error, times two: how surprising the reading is.</summary>
    internal readonly double Surprise(double reading, double sd)
    {
        double below = 0;
        for (int i = 0; i < Count; i++)
        {
            below += _slots[i].Weight * NormalCurve.Below((reading - _slots[i].Mean) / Math.Sqrt((_slots[i].Sd * _slots[i].Sd) + (sd * sd)));
        }

        return 2 * Math.Min(below, Math.Max(0, 1 - below));
    }

    /// <summary>Share of the distribution below <paramref name="log"/>.</summary>
    public readonly double Below(double log)
    {
        double below = 0;
        for (int i = 0; i < Count; i++)
        {
            below += _slots[i].Weight * NormalCurve.Below((log - _slots[i].Mean) / _slots[i].Sd);
        }

        return below;
    }

    /// <summary>
    /// The point below which a share lies. It lies between the smallest and the largest such point of the possibilities; there
    /// Newton's steps are taken, and halving where they leave the bracket.
    /// </summary>
    /// <param name="z">The point of the standard normal distribution with that share below it; −1.645 for 5 %.</param>
    public readonly double Point(double z)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        for (int i = 0; i < Count; i++)
        {
            double own = _slots[i].Mean + (z * _slots[i].Sd);
            low = Math.Min(low, own);
            high = Math.Max(high, own);
        }

        double share = NormalCurve.Below(z);
        double at = (low + high) / 2;
        for (int step = 0; step < 100 && high - low > Precision; step++)
        {
            (double below, double density) = At(at);
            if (below < share)
            {
                low = at;
            }
            else
            {
                high = at;
            }

            double next = at - ((below - share) / density);
            double reached = next > low && next < high ? next : (low + high) / 2;
            if (Math.Abs(reached - at) < Precision)
            {
                return reached;
            }

            at = reached;
        }

        return at;
    }

    public readonly bool Equals(LengthMixture other)
    {
        bool same = Count == other.Count;
        for (int i = 0; same && i < Count; i++)
        {
            same = _slots[i] == other._slots[i];
        }

        return same;
    }

    public override readonly bool Equals(object? obj) => obj is LengthMixture other && Equals(other);

    public override readonly int GetHashCode() => HashCode.Combine(Count, Count > 0 ? _slots[0] : default);

    public static bool operator ==(LengthMixture a, LengthMixture b) => a.Equals(b);

    public static bool operator !=(LengthMixture a, LengthMixture b) => !a.Equals(b);

    private readonly (double Below, double Density) At(double log)
    {
        double below = 0, density = 0;
        for (int i = 0; i < Count; i++)
        {
            double z = (log - _slots[i].Mean) / _slots[i].Sd;
            below += _slots[i].Weight * NormalCurve.Below(z);
            density += _slots[i].Weight * NormalCurve.Density(z) / _slots[i].Sd;
        }

        return (below, density);
    }

    private static double LogFit(in LengthComponent prior, double reading, double sd)
    {
        double variance = (prior.Sd * prior.Sd) + (sd * sd);
        double distance = reading - prior.Mean;
        return Math.Log(prior.Weight) - (Math.Log(variance) / 2) - (distance * distance / variance / 2);
    }

    [InlineArray(MostComponents)]
    private struct Slots
    {
        private LengthComponent _first;
    }
}
