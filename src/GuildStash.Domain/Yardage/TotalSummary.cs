using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>A lot that is drawn itself.</summary>
/// <param name="Lot">The lot.</param>
/// <param name="Length">Its distribution of ln(metres per 100 g).</param>
/// <param name="Hundreds">Hundreds of grams.</param>
/// <param name="ScaleError">Standard deviation of the weighing over the mass.</param>
/// <param name="OwnVariance">In square metres.</param>
internal readonly record struct DrawnLot(LotInTotal Lot, LengthMixture Length, double Hundreds, double ScaleError, double OwnVariance);

/// <summary>Sums over the lots, from which the most unsure ones are taken out again to be drawn.</summary>
internal sealed class TotalSummary(double sharedPart)
{
    private const int Classes = 10;
    private const int MostDrawnLots = 24;

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
