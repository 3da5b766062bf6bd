using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// From evidence to length per mass: the arithmetic of <see cref="YardageModel"/> and the words to it. Trust: a weighed sample, the
/// band, a count, the gauge, wraps, then the class a person named (common practice).
/// </summary>
public static class YardageEstimator
{
    /// <summary>Stored with every figure; changes whenever the arithmetic or the order of trust does.</summary>
    public const string ModelVersion = "evidence-3";

    private const double LeastMetresPer100Grams = 1e-3;
    private const double MostMetresPer100Grams = 1e7;

    /// <param name="evidence">What is known.</param>
    /// <param name="table">The guild's table.</param>
    /// <param name="learning">What the room has learnt of length against wraps; null for the table's answers.</param>
    /// <param name="isLearntForNames">
    /// Whether that moves a lone named class too, as it does unless a guild wants the trade's low for it, whatever was learnt.
    /// </param>
    /// <returns>The estimate, or null when no evidence says anything about length.</returns>
    public static YardageEstimate? Estimate(YarnEvidence evidence, WeightClassTable table, YardageLearning? learning = null, bool isLearntForNames = true)
    {
        YardageLearning learnt = learning ?? YardageLearning.Nothing;
        if (!YardageModel.TryFind(evidence, table, learnt, isLearntForNames, out YardageFindings found))
        {
            return null;
        }

        IReadOnlyList<Phrase> conflicts = EstimateWords.Conflicts(evidence, table, found);
        (LinearDensity low, LinearDensity likely, LinearDensity high) = FiguresOf(found, evidence, table, learnt, isLearntForNames);
        return new(found.WeightClass, low, likely, high, found.Basis, EstimateWords.Sentence(evidence, found, conflicts), ModelVersion, table.Version)
        {
            Distribution = found.Length,
            Chances = found.Chances,
            Conflicts = conflicts,
        };
    }

    /// <summary>A class alone answers with the table's own figures, without a detour over logarithms.</summary>
    private static (LinearDensity Low, LinearDensity Likely, LinearDensity High) FiguresOf(in YardageFindings found, YarnEvidence evidence, WeightClassTable table, YardageLearning learning, bool isLearntForNames)
    {
        if (found.Basis == EstimateBasis.ClassAsserted && !(isLearntForNames && learning.TableVersion == table.Version) && !FibreBulk.Of(evidence.Fibres).IsKnown)
        {
            WeightClassRow row = table.Row(found.WeightClass);
            return (row.Low, row.Middle, row.High);
        }

        return (At(found.Length.Point(-NormalCurve.NinetyFivePercent)), At(found.Length.Point(0)), At(found.Length.Point(NormalCurve.NinetyFivePercent)));
    }

    internal static LinearDensity At(double log) =>
        LinearDensity.FromMetresPer100Grams(Math.Clamp(Math.Exp(log), LeastMetresPer100Grams, MostMetresPer100Grams));
}
