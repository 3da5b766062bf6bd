using System.Buffers;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>A lot in a total: its yarn and how much there is.</summary>
/// <param name="Estimate">Its estimate; the total draws on <see cref="YardageEstimate.Distribution"/>.</param>
/// <param name="Mass">Zero or more.</param>
/// <param name="ScaleDivision">Division of the scale it was weighed on; null counts as exact.</param>
public readonly record struct LotInTotal(YardageEstimate Estimate, Mass Mass, Mass? ScaleDivision = null);

/// <summary>What lots of a total have in common.</summary>
public sealed record TotalSettings
{
    private readonly double _sharedPart = 0.5;
    private readonly double _scaleLogSd;

    public static TotalSettings Default { get; } = new();

    /// <summary>
    /// The part of a class's log variance that all lots resting on the class share, since the table or the fibre may be off for all of
    /// them: one half, a judgement. 0 to 1.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public double SharedPart
    {
        get => _sharedPart;
        init => _sharedPart = Guard.InRange(value, 0, 1, nameof(SharedPart));
    }

    /// <summary>Systematic error of the one scale all lots were weighed on, as a standard deviation of ln: 0 to 0.1; 0 takes it as true.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public double ScaleLogSd
    {
        get => _scaleLogSd;
        init => _scaleLogSd = Guard.InRange(value, 0, 0.1, nameof(ScaleLogSd));
    }

    /// <summary>Start of the pseudo-random order; the same lots and the same start give the same figures.</summary>
    public ulong Seed { get; init; } = 20_26;
}

/// <summary>
/// Low, likely and high of a set of lots, which are not the sums of the lots' own: errors of their own cancel in part, those of a
/// class they share don't. 16,384 seeded draws, each of them stratified, so that every source of error alone is met evenly (Latin
/// hypercube; McKay, Beckman and Conover, Technometrics 1979, from memory). Drawn are one factor for each class, the scale, and the two
/// dozen lots that are the most unsure; the many others enter with the mean they have under the drawn factors and a normal error.
/// </summary>
public static class LengthTotal
{
    internal const int Draws = 1 << 14;
    private const int MostDrawnLots = 24;
    private const int Classes = 10;

    private static readonly double[] Normals = [.. Enumerable.Range(0, Draws).Select(i => NormalCurve.PointOf((i + 0.5) / Draws))];

    /// <exception cref="ArgumentOutOfRangeException">A mass or division is negative.</exception>
    public static LengthRange Of(IReadOnlyList<LotInTotal> lots, TotalSettings? settings = null)
    {
        settings ??= TotalSettings.Default;
        Summary summary = new(settings.SharedPart);
        for (int i = 0; i < lots.Count; i++)
        {
            ArgumentOutOfRangeException.ThrowIfLessThan(lots[i].Mass, Mass.Zero, nameof(lots));
            ArgumentOutOfRangeException.ThrowIfLessThan(lots[i].ScaleDivision ?? Mass.Zero, Mass.Zero, nameof(lots));
            summary.Add(lots[i]);
        }

        if (summary.Lots == 0)
        {
            return default;
        }

        if (summary.Lots == 1 && settings.ScaleLogSd == 0)
        {
            LotInTotal only = summary.Drawn[0].Lot;
            return only.Estimate.LengthOf(only.Mass, only.ScaleDivision);
        }

        double[] totals = ArrayPool<double>.Shared.Rent(Draws);
        try
        {
            Span<double> drawn = totals.AsSpan(0, Draws);
            Draw(drawn, summary, settings);
            drawn.Sort();
            return new(At(drawn, 0.05), At(drawn, 0.5), At(drawn, 0.95));
        }
        finally
        {
            ArrayPool<double>.Shared.Return(totals);
        }
    }

    private static void Draw(Span<double> totals, Summary summary, TotalSettings settings)
    {
        Order order = new(settings.Seed);
        double[][] factors = new double[Classes][];
        summary.Settle();
        totals.Clear();
        double own = Math.Sqrt(summary.OwnVariance);
        Order.Run rest = order.Next();
        for (int k = 0; k < Draws; k++)
        {
            totals[k] = summary.Sure + (own * Normals[rest.At(k)]);
        }

        foreach ((WeightClass weightClass, double mean, double sd) in summary.Shared())
        {
            double[] factor = factors[(int)weightClass] ??= Factor(order.Next());
            for (int k = 0; k < Draws; k++)
            {
                totals[k] += mean * Math.Exp((sd * factor[k]) - (sd * sd / 2));
            }
        }

        foreach (DrawnLot lot in summary.Drawn)
        {
            AddDrawn(totals, lot, factors, settings.SharedPart, order);
        }

        Order.Run scale = order.Next();
        for (int k = 0; k < Draws; k++)
        {
            totals[k] = Math.Max(0, totals[k]) * Math.Exp(settings.ScaleLogSd * Normals[scale.At(k)]);
        }
    }

    private static void AddDrawn(Span<double> totals, in DrawnLot lot, double[][] factors, double sharedPart, Order order)
    {
        LengthMixture length = lot.Length;
        double ofScale = Math.Log(1 + (lot.ScaleError * lot.ScaleError));
        Order.Run choice = order.Next();
        Order.Run error = order.Next();
        Span<double> upTo = stackalloc double[length.Count];
        Span<double> sharedSd = stackalloc double[length.Count];
        Span<double> ownSd = stackalloc double[length.Count];
        for (int c = 0; c < length.Count; c++)
        {
            LengthComponent part = length[c];
            upTo[c] = (c == 0 ? 0 : upTo[c - 1]) + (part.Weight * Draws);
            sharedSd[c] = part.ClassSd * Math.Sqrt(sharedPart);
            ownSd[c] = Math.Sqrt((part.Sd * part.Sd) - (sharedSd[c] * sharedSd[c]) + ofScale);
            factors[(int)part.WeightClass] ??= Factor(order.Next());
        }

        for (int k = 0; k < Draws; k++)
        {
            int c = 0;
            int at = choice.At(k);
            while (c < length.Count - 1 && at >= upTo[c])
            {
                c++;
            }

            LengthComponent part = length[c];
            double shared = sharedSd[c] * factors[(int)part.WeightClass][k];
            totals[k] += lot.Hundreds * Math.Exp(part.Mean + shared + (ownSd[c] * Normals[error.At(k)]) - (ofScale / 2));
        }
    }

    private static double[] Factor(Order.Run run)
    {
        double[] factor = new double[Draws];
        for (int k = 0; k < Draws; k++)
        {
            factor[k] = Normals[run.At(k)];
        }

        return factor;
    }

    private static Length At(ReadOnlySpan<double> sorted, double share)
    {
        double place = share * (sorted.Length - 1);
        int below = (int)place;
        return Length.FromMetres(sorted[below] + ((place - below) * (sorted[below + 1] - sorted[below])));
    }

    /// <summary>A lot that is drawn itself.</summary>
    /// <param name="Lot">The lot.</param>
    /// <param name="Length">Its distribution of ln(metres per 100 g).</param>
    /// <param name="Hundreds">Hundreds of grams.</param>
    /// <param name="ScaleError">Standard deviation of the weighing over the mass.</param>
    /// <param name="OwnVariance">In square metres.</param>
    private readonly record struct DrawnLot(LotInTotal Lot, LengthMixture Length, double Hundreds, double ScaleError, double OwnVariance);

    /// <summary>Sums over the lots, from which the most unsure ones are taken out again to be drawn.</summary>
    private sealed class Summary(double sharedPart)
    {
        // Lots of a class hang on its factor more or less, as other evidence joined in: 24 steps of 0.02 of standard deviation.
        private const int Steps = 24;
        private const double Step = 0.02;

        private readonly double[] _means = new double[Classes * Steps];
        private readonly double[] _weighted = new double[Classes * Steps];

        public int Lots { get; private set; }

        /// <summary>Metres that hang on no class.</summary>
        public double Sure { get; private set; }

        public double OwnVariance { get; private set; }

        public List<DrawnLot> Drawn { get; } = new(MostDrawnLots + 1);

        public void Add(in LotInTotal lot)
        {
            if (lot.Mass == Mass.Zero)
            {
                return;
            }

            Lots++;
            double hundreds = lot.Mass.Milligrams / 100_000.0;
            double scale = (lot.ScaleDivision ?? Mass.Zero).Milligrams / Math.Sqrt(6) / lot.Mass.Milligrams;
            LengthMixture length = DistributionOf(lot.Estimate);
            double variance = Enter(length, hundreds, scale, 1);
            if (Drawn.Count < MostDrawnLots || variance > Drawn[^1].OwnVariance)
            {
                int at = Drawn.Count;
                while (at > 0 && variance > Drawn[at - 1].OwnVariance)
                {
                    at--;
                }

                Drawn.Insert(at, new(lot, length, hundreds, scale, variance));
                if (Drawn.Count > MostDrawnLots)
                {
                    Drawn.RemoveAt(MostDrawnLots);
                }
            }
        }

        /// <summary>Takes out of the sums what is drawn.</summary>
        public void Settle()
        {
            if (Lots == Drawn.Count)
            {
                // What is left by rounding must not be taken for lots.
                Array.Clear(_means);
                (Sure, OwnVariance) = (0, 0);
                return;
            }

            foreach (DrawnLot lot in Drawn)
            {
                Enter(lot.Length, lot.Hundreds, lot.ScaleError, -1);
            }

            OwnVariance = Math.Max(0, OwnVariance);
        }

        public IEnumerable<(WeightClass WeightClass, double Mean, double Sd)> Shared()
        {
            for (int i = 0; i < _means.Length; i++)
            {
                if (_means[i] > 0)
                {
                    yield return ((WeightClass)(i / Steps), _means[i], Math.Max(0, _weighted[i] / _means[i]));
                }
            }
        }

        /// <returns>The variance the lot keeps when the classes' factors are known.</returns>
        private double Enter(in LengthMixture length, double hundreds, double scale, int sign)
        {
            double mean = 0, square = 0, squareOfParts = 0;
            for (int i = 0; i < length.Count; i++)
            {
                LengthComponent part = length[i];
                double growth = Math.Exp(part.Sd * part.Sd);
                double shared = part.ClassSd * Math.Sqrt(sharedPart);
                double median = hundreds * Math.Exp(part.Mean);
                double ofPart = part.Weight * median * Math.Sqrt(growth);
                mean += ofPart;
                square += part.Weight * median * median * growth * growth;
                squareOfParts += ofPart * ofPart * (Math.Exp(shared * shared) - 1);
                if (shared < Step / 1000)
                {
                    Sure += sign * ofPart;
                    continue;
                }

                int at = ((int)part.WeightClass * Steps) + Math.Min(Steps - 1, (int)(shared / Step));
                _means[at] += sign * ofPart;
                _weighted[at] += sign * ofPart * shared;
            }

            double variance = Math.Max(0, (square * (1 + (scale * scale))) - (mean * mean) - squareOfParts);
            OwnVariance += sign * variance;
            return variance;
        }

        private static LengthMixture DistributionOf(YardageEstimate estimate)
        {
            if (estimate.Distribution.Count > 0)
            {
                return estimate.Distribution;
            }

            double sd = Math.Log(estimate.High.MetresPer100Grams / estimate.Low.MetresPer100Grams) / 2 / NormalCurve.NinetyFivePercent;
            return LengthMixture.Single(new(1, Math.Log(estimate.Likely.MetresPer100Grams), sd, estimate.Basis <= EstimateBasis.Wraps ? sd : 0, estimate.WeightClass ?? default));
        }
    }

    /// <summary>Orders of the strata, one for each source of error, that look unrelated to each other.</summary>
    private sealed class Order(ulong seed)
    {
        private ulong _state = seed;

        public Run Next() => new(Word(), Word(), Word());

        /// <summary>SplitMix64 (Steele, Lea and Flood 2014, from memory).</summary>
        private ulong Word()
        {
            _state += 0x9E3779B97F4A7C15;
            ulong z = _state;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return z ^ (z >> 31);
        }

        /// <summary>A permutation of the strata: odd multipliers, additions and shifts can all be undone, so no stratum is met twice.</summary>
        public readonly struct Run(ulong first, ulong second, ulong third)
        {
            private const uint Mask = Draws - 1;

            public int At(int k)
            {
                uint x = (uint)k;
                x = ((x * ((uint)first | 1)) + (uint)(first >> 32)) & Mask;
                x ^= x >> 7;
                x = ((x * ((uint)second | 1)) + (uint)(second >> 32)) & Mask;
                x ^= x >> 6;
                x = ((x * ((uint)third | 1)) + (uint)(third >> 32)) & Mask;
                x ^= x >> 8;
                return (int)x;
            }
        }
    }
}
