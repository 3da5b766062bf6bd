using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>A reading of ln(metres per 100 g) with a normal error: a weighed sample, a band, a count or a gauge.</summary>
/// <param name="Log">ln(metres per 100 g).</param>
/// <param name="Sd">Standard deviation of the error.</param>
/// <param name="Basis">Where it comes from; <see cref="EstimateBasis.None"/> stands for no reading.</param>
public readonly record struct DirectReading(double Log, double Sd, EstimateBasis Basis)
{
    /// <summary>
    /// Around a band's statement: 2.5 %. A judgement: makers' tolerance, moisture and wear together; no published figure was found.
    /// </summary>
    public const double BandLogSd = 0.025;

    /// <summary>Around a sample, besides its tape and its scale: 1 %, a judgement: the yarn's own unevenness from metre to metre and ball to ball.</summary>
    public const double SampleLogSd = 0.01;

    /// <summary>Around a resultant that is stated as such: 4 %, a judgement: counts are rounded and name the yarn before finishing.</summary>
    public const double ResultantLogSd = 0.04;

    /// <summary>Around a resultant reckoned from singles: 5 %, a judgement: twisting takes up some of the length, dyeing and relaxing more.</summary>
    public const double FoldedLogSd = 0.05;

    /// <summary>Around a name of thickness: 20 %, a judgement after the names' ranges (namibuto 2–2.75 m/g, gokubuto 1–2 m/g).</summary>
    public const double TradeNameLogSd = 0.20;

    /// <summary>
    /// Around a gauge: 18 %, a judgement: the classes' own spread (about 15 %) and a knitter's tension (about ±1 stitch in 20,
    /// which the slope of length against gauge turns into 7–9 %).
    /// </summary>
    public const double GaugeLogSd = 0.18;

    /// <summary>A sample of fewer divisions than this says nothing: its rounding is no longer small against its mass.</summary>
    public const int FewestUsableDivisions = 5;

    public static DirectReading None => default;

    public bool IsKnown => Basis != EstimateBasis.None;

    public LinearDensity Density => LinearDensity.FromMetresPer100Grams(Math.Exp(Log));

    public static DirectReading FromBand(Band band) => new(Math.Log(band.Density.MetresPer100Grams), BandLogSd, EstimateBasis.Band);

    public static DirectReading FromCount(CountReading count) => new(Math.Log(count.Density.MetresPer100Grams), count.Kind switch
    {
        CountKind.Resultant => ResultantLogSd,
        CountKind.Folded => FoldedLogSd,
        _ => TradeNameLogSd,
    }, EstimateBasis.Count);

    /// <summary>
    /// Tape and scale in quadrature: a length right within ±h is taken as uniform, h/√3; one reading of a scale with division d has
    /// d/√12, the difference of two d/√6 (computed).
    /// </summary>
    /// <returns>No reading below <see cref="FewestUsableDivisions"/>.</returns>
    public static DirectReading FromSample(WeighedSample sample)
    {
        if (sample.Divisions < FewestUsableDivisions)
        {
            return None;
        }

        return new(Math.Log(sample.Density.MetresPer100Grams), SampleSd(sample.LengthError.Metres / sample.Length.Metres, sample.Divisions, sample.IsDifference), EstimateBasis.Sample);
    }

    /// <summary>
    /// From the class rows of the Standard Yarn Weight System (Craft Yarn Council): the middle of each row's stitches stands for the
    /// middle of the class's length per mass, and between them both go in proportion on the logarithmic scale. It names no gauge
    /// for lace, so that finer gauges follow the slope between its classes 2 and 1. A gauge tells thickness, so that the fibres count beside it.
    /// </summary>
    public static DirectReading FromGauge(Gauge gauge, WeightClassTable table, in FibreBulk bulk = default)
    {
        double stitches = Math.Log(gauge.StitchesPer10Cm);
        int at = 0;
        while (at < GaugeRows.Length - 2 && stitches < GaugeRows[at + 1].LogStitches)
        {
            at++;
        }

        (double finer, double coarser) = (GaugeRows[at].LogStitches, GaugeRows[at + 1].LogStitches);
        double share = (stitches - coarser) / (finer - coarser);
        double log = table.Row(GaugeRows[at + 1].WeightClass).LogMean + (share * (table.Row(GaugeRows[at].WeightClass).LogMean - table.Row(GaugeRows[at + 1].WeightClass).LogMean));
        return new(log + bulk.Shift, bulk.Widened(GaugeLogSd), EstimateBasis.Gauge);
    }

    internal static double SampleSd(double relativeLengthError, double divisions, bool isDifference)
    {
        double tape = relativeLengthError / Math.Sqrt(3);
        double scale = 1 / Math.Sqrt(isDifference ? 6 : 12) / divisions;
        return Math.Sqrt((tape * tape) + (scale * scale) + (SampleLogSd * SampleLogSd));
    }

    /// <summary>How many standard deviations of their difference two readings lie apart.</summary>
    internal double DistanceTo(in DirectReading other) => Math.Abs(Log - other.Log) / Math.Sqrt((Sd * Sd) + (other.Sd * other.Sd));

    /// <summary>Both by precision weighting; the basis is this one's.</summary>
    internal DirectReading With(in DirectReading other)
    {
        double share = other.Sd * other.Sd / ((Sd * Sd) + (other.Sd * other.Sd));
        return new((share * Log) + ((1 - share) * other.Log), Sd * Math.Sqrt(share), Basis);
    }

    // Knit stitches over 10 cm of each class (Craft Yarn Council, Standard Yarn Weight System): 27–32, 23–26, 21–24, 16–20, 12–15,
    // 7–11, up to 6. Geometric middles; 5 for the last is a judgement.
    private static readonly (double LogStitches, WeightClass WeightClass)[] GaugeRows =
    [
        (Middle(27, 32), WeightClass.Fingering),
        (Middle(23, 26), WeightClass.Sport),
        (Middle(21, 24), WeightClass.Dk),
        (Middle(16, 20), WeightClass.Medium),
        (Middle(12, 15), WeightClass.Bulky),
        (Middle(7, 11), WeightClass.SuperBulky),
        (Math.Log(5), WeightClass.Jumbo),
    ];

    private static double Middle(double low, double high) => Math.Log(low * high) / 2;
}
