using System.Runtime.CompilerServices;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>A class and how likely it is, 0 to 1.</summary>
public readonly record struct ClassChance(WeightClass WeightClass, double Probability);

/// <summary>The probability of each class; they come to 1. A value type that allocates nothing.</summary>
public struct ClassChances : IEquatable<ClassChances>
{
    private const int Classes = 10;

    private Slots _slots;

    public readonly double this[WeightClass weightClass] => _slots[(int)weightClass];

    /// <summary>The most probable class; the thicker one of two that are equal, the side that promises less yarn.</summary>
    public readonly WeightClass Best
    {
        get
        {
            int best = 0;
            for (int i = 1; i < Classes; i++)
            {
                best = _slots[i] >= _slots[best] ? i : best;
            }

            return (WeightClass)best;
        }
    }

    /// <summary>The classes that are at least this probable, most probable first.</summary>
    public readonly IReadOnlyList<ClassChance> AtLeast(double probability)
    {
        List<ClassChance> chances = [];
        for (int i = 0; i < Classes; i++)
        {
            if (_slots[i] >= probability)
            {
                chances.Add(new((WeightClass)i, _slots[i]));
            }
        }

        chances.Sort((a, b) => b.Probability.CompareTo(a.Probability));
        return chances;
    }

    internal void Add(WeightClass weightClass, double weight) => _slots[(int)weightClass] += weight;

    /// <summary>Scales to a sum of 1.</summary>
    /// <returns>False when nothing was added that counts; then it stays empty.</returns>
    internal bool Normalise()
    {
        double sum = 0;
        for (int i = 0; i < Classes; i++)
        {
            sum += _slots[i];
        }

        if (sum < 1e-200)
        {
            this = default;
            return false;
        }

        for (int i = 0; i < Classes; i++)
        {
            _slots[i] /= sum;
        }

        return true;
    }

    public readonly bool Equals(ClassChances other)
    {
        bool same = true;
        for (int i = 0; same && i < Classes; i++)
        {
            same = _slots[i].Equals(other._slots[i]);
        }

        return same;
    }

    public override readonly bool Equals(object? obj) => obj is ClassChances other && Equals(other);

    public override readonly int GetHashCode() => HashCode.Combine(_slots[0], _slots[3], _slots[5], _slots[6]);

    public static bool operator ==(ClassChances a, ClassChances b) => a.Equals(b);

    public static bool operator !=(ClassChances a, ClassChances b) => !a.Equals(b);

    [InlineArray(Classes)]
    private struct Slots
    {
        private double _first;
    }
}
