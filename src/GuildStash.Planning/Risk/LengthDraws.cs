using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Risk;

/// <summary>
/// How long yarn really is and what a piece really takes, drawn at random. Of a class's variance a part is one factor for all lots that
/// rest on the class, the rest each lot's own (docs/adr/0007).
/// </summary>
internal static class LengthDraws
{
    /// <summary>Weight classes, each with a factor of its own.</summary>
    public const int Classes = 10;

    /// <summary>Half a millimetre: grams are rounded to the milligram, which is no shortfall.</summary>
    public const double Tolerance = 5e-4;

    /// <summary>Draws the classes' factors, which all lots of one draw share.</summary>
    public static void Factors(Span<double> ofClass, ref SeededNormals normals)
    {
        for (int i = 0; i < ofClass.Length; i++)
        {
            ofClass[i] = normals.Next();
        }
    }

    /// <returns>Metres to 100 g.</returns>
    public static double Yarn(LotYarn yarn, ReadOnlySpan<double> ofClass, ref SeededNormals normals)
    {
        double shared = TotalSettings.Default.SharedPart;
        if (yarn.Distribution.Count == 0)
        {
            double z = yarn is { RestsOnClass: true, WeightClass: { } weightClass }
                ? (Math.Sqrt(shared) * ofClass[(int)weightClass]) + (Math.Sqrt(1 - shared) * normals.Next())
                : normals.Next();
            return yarn.Likely.MetresPer100Grams * Math.Exp(z * (z < 0 ? yarn.LogSdBelow : yarn.LogSdAbove));
        }

        double at = normals.Uniform();
        int c = 0;
        while (c < yarn.Distribution.Count - 1 && (at -= yarn.Distribution[c].Weight) > 0)
        {
            c++;
        }

        LengthComponent part = yarn.Distribution[c];
        double together = part.ClassSd * Math.Sqrt(shared);
        double own = Math.Sqrt(Math.Max(0, (part.Sd * part.Sd) - (together * together)));
        return Math.Exp(part.Mean + (together * ofClass[(int)part.WeightClass]) + (own * normals.Next()));
    }

    /// <returns>Metres of one strand for one piece; a need of which only the safe figure is known takes no draw.</returns>
    public static double Need(LengthNeed need, ref SeededNormals normals)
    {
        if (need.IsExact)
        {
            return need.Safe.Metres;
        }

        double z = normals.Next();
        Length side = z < 0 ? need.Low : need.Safe;
        double sd = Math.Abs(Math.Log(side.Metres / need.Likely.Metres)) / NormalCurve.NinetyFivePercent;
        return need.Likely.Metres * Math.Exp(z * sd);
    }
}
