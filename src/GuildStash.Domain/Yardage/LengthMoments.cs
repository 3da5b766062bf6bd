using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// What of an estimate a database can add up. A lot of m hundreds of grams has the mean length μ = mean·m; its shared part is μ times
/// the shared sd, its own variance μ² times the own variance, and the weighing adds (mean·d/√6)², whatever the mass.
/// </summary>
/// <param name="MeanMetresPer100Grams">Mean of metres per 100 g: a little above the median.</param>
/// <param name="SharedSd">Standard deviation over the mean of the part that all lots of the class share.</param>
/// <param name="OwnVariance">Variance over the squared mean of the lot's own part.</param>
public readonly record struct LengthMoments(double MeanMetresPer100Grams, double SharedSd, double OwnVariance)
{
    /// <summary>Moments of a mixture of log-normals (any textbook of statistics): E = Σ w·e^(μ+σ²/2), E² = Σ w·e^(2μ+2σ²).</summary>
    public static LengthMoments Of(in LengthMixture length, TotalSettings? settings = null)
    {
        double sharedPart = (settings ?? TotalSettings.Default).SharedPart;
        (double mean, double square, double shared) = (0, 0, 0);
        for (int i = 0; i < length.Count; i++)
        {
            LengthComponent part = length[i];
            double each = part.Weight * Math.Exp(part.Mean + (part.Sd * part.Sd / 2));
            mean += each;
            square += part.Weight * Math.Exp(2 * (part.Mean + (part.Sd * part.Sd)));
            shared += each * Math.Sqrt(Math.Exp(part.ClassSd * part.ClassSd * sharedPart) - 1);
        }

        double sharedSd = shared / mean;
        return new(mean, sharedSd, Math.Max(0, (square / mean / mean) - 1 - (sharedSd * sharedSd)));
    }
}

/// <summary>Sums over the lots of one weight class, lengths in metres.</summary>
/// <param name="WeightClass">Null for lots of no known class, which share nothing.</param>
/// <param name="Mean">Sum of the lots' mean lengths.</param>
/// <param name="Shared">Sum of their shared parts: they are off together.</param>
/// <param name="OwnVariance">Sum of their own variances, that of the weighing included.</param>
/// <param name="Largest">The greatest mean length of a lot; 0 takes their own errors as not skewed.</param>
/// <param name="MostOwn">The greatest <see cref="LengthMoments.OwnVariance"/> of a lot.</param>
public readonly record struct LengthSums(WeightClass? WeightClass, double Mean, double Shared, double OwnVariance, double Largest = 0, double MostOwn = 0)
{
    /// <summary>A lot's part in the sums; a database adds the same.</summary>
    public static LengthSums Of(WeightClass? weightClass, LengthMoments moments, Mass mass, Mass? scaleDivision = null)
    {
        double perMg = moments.MeanMetresPer100Grams / 100_000;
        double mean = perMg * mass.Milligrams;
        double division = perMg * (scaleDivision?.Milligrams ?? 0);
        return new(weightClass, mean, mean * moments.SharedSd, (mean * mean * moments.OwnVariance) + (mass == Mass.Zero ? 0 : division * division / 6), mean, moments.OwnVariance);
    }

    /// <summary>
    /// Low, likely and high of all of them, as of a log-normal that is shifted so as to have their mean, variance and skewness (three
    /// moments; Fenton, IRE Transactions on Communications Systems 1960, has two; from memory). Tests hold them within 1 % of a million
    /// draws, also where one lot is most of the total; <see cref="LengthTotal"/> draws the same total lot by lot.
    /// </summary>
    /// <param name="sums">Sums of classes or parts of them.</param>
    /// <param name="scaleLogSd">As <see cref="TotalSettings.ScaleLogSd"/>.</param>
    public static LengthRange Total(IEnumerable<LengthSums> sums, double scaleLogSd = 0)
    {
        (double mean, double variance, double third) = (0, 0, 0);
        foreach (IGrouping<WeightClass?, LengthSums> ofClass in sums.GroupBy(each => each.WeightClass))
        {
            LengthSums all = ofClass.Aggregate((a, b) => a.With(b));
            if (all.Mean > 0)
            {
                mean += all.Mean;
                variance += all.OwnVariance + (all.Shared * all.Shared);
                third += all.ThirdMoment();
            }
        }

        return mean <= 0 ? default : Weighed(mean, variance, third, scaleLogSd);
    }

    private LengthSums With(LengthSums other) => new(
        WeightClass, Mean + other.Mean, Shared + other.Shared, OwnVariance + other.OwnVariance, Math.Max(Largest, other.Largest), Math.Max(MostOwn, other.MostOwn));

    /// <summary>
    /// Third central moment of A·X, where A is the class's log-normal factor of mean 1 and variance u, and X the sum of the lots' own
    /// parts. X's own third moment is Σ m³v²(3 + v) for log-normal lots of means m and relative variances v. The sums don't hold it;
    /// (3 + v)·v·m·Var X, with the largest m and the largest v that Var X leaves room for, is that for one great lot among small ones and
    /// for equal lots, and not far from it between (tested).
    /// </summary>
    private double ThirdMoment()
    {
        double u = Shared / Mean * (Shared / Mean);
        double own = OwnVariance / (1 + u);
        double v = Largest <= 0 ? 0 : Math.Min(MostOwn / (1 + u), own / Largest / Largest);
        double ownThird = (3 + v) * v * Largest * own;
        return (Mean * Mean * Mean * u * u * (3 + u)) + (3 * Mean * own * (1 + u) * u * (2 + u)) + ((1 + u) * (1 + u) * (1 + u) * ownThird);
    }

    /// <summary>Every total is off by the same factor of median 1, the scale's: its raw moments e^(s²/2), e^(2s²), e^(9s²/2) multiply the total's.</summary>
    private static LengthRange Weighed(double mean, double variance, double third, double scaleLogSd)
    {
        double s2 = scaleLogSd * scaleLogSd;
        double first = mean * Math.Exp(s2 / 2);
        double second = (variance + (mean * mean)) * Math.Exp(2 * s2);
        double cubed = (third + (3 * mean * variance) + (mean * mean * mean)) * Math.Exp(4.5 * s2);
        return s2 == 0
            ? Between(mean, Math.Sqrt(variance), third)
            : Between(first, Math.Sqrt(second - (first * first)), cubed - (3 * first * second) + (2 * first * first * first));
    }

    /// <summary>With q² = e^(s²) − 1 the skewness of a log-normal is q³ + 3q, whatever its scale and shift; solved by hyperbolic sines.</summary>
    private static LengthRange Between(double mean, double sd, double third)
    {
        double q = sd <= 0 ? 0 : 2 * Math.Sinh(Math.Asinh(third / sd / sd / sd / 2) / 3);
        double log = Math.Log(1 + (q * q));
        Length At(double z) => Length.FromMetres(Math.Max(0, mean + (sd * (q < 1e-9 ? z : (Math.Exp((Math.Sqrt(log) * z) - (log / 2)) - 1) / q))));
        return new(At(-NormalCurve.NinetyFivePercent), At(0), At(NormalCurve.NinetyFivePercent));
    }
}
