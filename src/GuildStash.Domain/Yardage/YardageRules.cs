using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
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

    /// <summary>Whether that moves a lone named class too, as it does unless a guild wants the trade's low for it, whatever was learnt.</summary>
    public bool IsLearntForNames { get; init; } = true;

    public StrandSubstitutes Strands { get; init; } = StrandSubstitutes.Default;

    /// <summary>Regain of yarn in the room; without it masses count as weighed, as they do unless a guild chooses otherwise.</summary>
    public RoomRegains Regains { get; init; } = RoomRegains.None;

    /// <summary>What lots have in common when their lengths are added up.</summary>
    public TotalSettings Totals { get; init; } = TotalSettings.Default;

    /// <summary>Counts the changes after which lots are computed anew; stored with every figure.</summary>
    public int Edition { get; init; }

    /// <returns>The estimate, or null when no evidence says anything about length.</returns>
    /// <remarks>
    /// A band, a count and the table speak of commercial mass, so that with regains the length of what is weighed in the room is
    /// (100 + R)/(100 + r) of theirs. A sample was weighed in the same room, and needs nothing; neither do sealed balls, which keep the
    /// band's length.
    /// </remarks>
    public YardageEstimate? Estimate(YarnEvidence evidence) => Loose(evidence) is { } loose ? evidence.Sealed?.Among(loose) ?? loose : null;

    /// <summary>What to measure next; see <see cref="NextMeasurement.For"/>.</summary>
    public IReadOnlyList<NextMeasurement> Next(YarnEvidence evidence, Mass? mass = null, bool inYards = false) =>
        NextMeasurement.For(evidence, this, mass, inYards);

    /// <summary>What is reckoned for the moisture of the room; null for nothing.</summary>
    internal MoistureCorrection? MoistureOf(YarnEvidence evidence, EstimateBasis basis) =>
        basis != EstimateBasis.Sample ? Regains.For(evidence.Fibres) : null;

    private YardageEstimate? Loose(YarnEvidence evidence) => YardageEstimator.Estimate(evidence, Table, Learning, IsLearntForNames) is { } estimate
        ? MoistureOf(evidence, estimate.Basis) is { } moisture ? InRoom(estimate, moisture) : estimate
        : null;

    private static YardageEstimate InRoom(YardageEstimate estimate, MoistureCorrection moisture) => estimate with
    {
        Low = Times(estimate.Low, moisture.Factor),
        Likely = Times(estimate.Likely, moisture.Factor),
        High = Times(estimate.High, moisture.Factor),
        Distribution = estimate.Distribution.Shifted(Math.Log(moisture.Factor)),
        Moisture = moisture,
        Sentence = new Phrase("{0} {1}", estimate.Sentence, Words(moisture)),
    };

    private static Phrase Words(MoistureCorrection moisture) => new(
        "Moisture of the room: weighed · (100 + {0})/(100 + {1}), that is 100 g count as {2} g.",
        Math.Round(moisture.AgreedRegain, 2), Math.Round(moisture.RoomRegain, 2), Math.Round(100 * moisture.Factor, 1));

    private static LinearDensity Times(LinearDensity density, double factor) => LinearDensity.FromMetresPer100Grams(density.MetresPer100Grams * factor);
}
