using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>All that a guild decides about how thickness and length are told from evidence; a value.</summary>
/// <param name="Table">Its table of weight classes.</param>
public sealed record YardageRules(WeightClassTable Table)
{
    /// <summary>The table that comes with the program, and nothing learnt.</summary>
    public static YardageRules Standard { get; } = new(WeightClassTable.Default);

    /// <summary>What the room has learnt, as far as the guild uses it.</summary>
    public YardageLearning Learning { get; init; } = YardageLearning.Nothing;

    /// <summary>Whether that moves a lone named class too.</summary>
    public bool IsLearntForNames { get; init; }

    public StrandSubstitutes Strands { get; init; } = StrandSubstitutes.Default;

    /// <summary>Counts the changes after which lots are computed anew; stored with every figure.</summary>
    public int Edition { get; init; }

    /// <returns>The estimate, or null when no evidence says anything about length.</returns>
    public YardageEstimate? Estimate(YarnEvidence evidence) => YardageEstimator.Estimate(evidence, Table, Learning, IsLearntForNames);

    /// <summary>What to measure next; see <see cref="NextMeasurement.For"/>.</summary>
    public IReadOnlyList<NextMeasurement> Next(YarnEvidence evidence, Mass? mass = null, bool inYards = false) =>
        NextMeasurement.For(evidence, Table, mass, inYards, Learning);
}
