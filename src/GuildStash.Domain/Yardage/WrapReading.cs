using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// What a wrap count says of the true ln(wraps per inch): normal around the count, with a flat prior. The class is the row the
/// true wraps lie in.
/// </summary>
/// <param name="Log">ln(wraps per inch) of the count.</param>
/// <param name="Sd">Standard deviation of its error.</param>
public readonly record struct WrapReading(double Log, double Sd)
{
    /// <summary>
    /// Spread between people on the same yarn: 5 % of the count (standard deviation of its logarithm). A judgement, about one wrap in
    /// twenty between careful people; repeats by the same person don't lessen it.
    /// </summary>
    public const double PersonLogSd = 0.05;

    /// <summary>A count is right within ±½ wrap over the length it was taken over; as uniform, ½/√3 = 0.289 wraps (computed).</summary>
    public const double CountSd = 0.28867513459481287;

    /// <summary>
    /// ±½ wrap for each count, less by √n for n counts (or their own scatter, if that is larger), and the spread between people.
    /// </summary>
    public static WrapReading From(Wraps wraps)
    {
        int counts = 1 + wraps.Repeats.Count;
        double mean = wraps.PerInch * (double)wraps.Inches;
        double counting = Math.Max(CountSd, counts < 3 ? 0 : Scatter(wraps, mean)) / Math.Sqrt(counts) / mean;
        return new(Math.Log(wraps.PerInch), Math.Sqrt((counting * counting) + (PersonLogSd * PersonLogSd)));
    }

    /// <summary>Probability that the true wraps lie in the row.</summary>
    public double ChanceOf(WeightClassRow row)
    {
        double above = row.WrapsAbove <= 0 ? 0 : NormalCurve.Below((Math.Log(row.WrapsAbove) - Log) / Sd);
        double upTo = double.IsPositiveInfinity(row.WrapsUpTo) ? 1 : NormalCurve.Below((Math.Log(row.WrapsUpTo) - Log) / Sd);
        return Math.Max(0, upTo - above);
    }

    /// <summary>Standard deviation of a single count, in wraps over the counted length.</summary>
    private static double Scatter(Wraps wraps, double mean)
    {
        double sum = Square((double)wraps.Count - mean);
        for (int i = 0; i < wraps.Repeats.Count; i++)
        {
            sum += Square((double)wraps.Repeats[i] - mean);
        }

        return Math.Sqrt(sum / wraps.Repeats.Count);
    }

    private static double Square(double value) => value * value;
}
