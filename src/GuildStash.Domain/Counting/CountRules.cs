using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counting;

/// <summary>What of a count the rules look at.</summary>
/// <param name="BinCode">For people.</param>
public sealed record RunningCount(string BinCode, Guid BegunById, string BegunBy, DateTimeOffset BegunAt, DateTimeOffset LapsesAt);

/// <summary>Who may begin, go on with and end a count, and what a difference leads to.</summary>
public static class CountRules
{
    /// <summary>Hours after the last saved weighing at which a count that nobody ends runs out: an evening in the room (a judgement).</summary>
    public const int LapsesAfterHours = 4;

    /// <summary>Rule key of what is refused because a bin is frozen.</summary>
    public const string Frozen = "bin-is-counted";

    public static DateTimeOffset LapsesAt(DateTimeOffset savedAt) => savedAt.AddHours(LapsesAfterHours);

    /// <summary>Why yarn can't leave or enter.</summary>
    /// <param name="since">A time of day in the guild's zone, as text.</param>
    public static Refusal IsFrozen(string binCode, string by, string since) => Refusal.Conflict(Frozen,
        "{0} has been counting bin {1} since {2}: nothing leaves or enters until the count is ended. Ask {0} to end it, or a coordinator; holds may still be placed.", by, binCode, since);

    /// <summary>Weighings are entered by whoever began, while the bin is frozen for them.</summary>
    public static Refusal? MayWeigh(RunningCount count, Guid by, DateTimeOffset now)
    {
        if (now >= count.LapsesAt)
        {
            return Refusal.Conflict("count-lapsed", "This count of bin {0} ran out, {1} hours after its last weighing, so yarn may have moved. Begin anew.", count.BinCode, LapsesAfterHours);
        }

        return count.BegunById == by
            ? null
            : Refusal.Conflict("count-is-anothers", "{0} counts bin {1}. Two people at one scale mix up their weighings; let {0} end it first.", count.BegunBy, count.BinCode);
    }

    /// <summary>A forgotten count is ended by its counter or a coordinator.</summary>
    public static Refusal? MayEnd(RunningCount count, Guid by, Role role) =>
        count.BegunById == by || role >= Role.Coordinator
            ? null
            : Refusal.Forbidden("{0} counts bin {1}. Only {0} or a coordinator can end it; it runs out by itself {2} hours after its last weighing.", count.BegunBy, count.BinCode, LapsesAfterHours);

    /// <summary>What becomes of a difference of one lot.</summary>
    public static CountOutcome OfLot(long differenceMg, long toleranceMg, DriftSum drift) =>
        differenceMg == 0 ? CountOutcome.Agrees
        : Math.Abs(differenceMg) > toleranceMg || drift.IsBeyond ? CountOutcome.Asked
        : CountOutcome.Booked;

    /// <summary>
    /// What becomes of a difference of a whole bin. Within tolerance nothing is booked, since nobody knows which lot it is, and a share for
    /// each would be invented; beyond it the bin is weighed lot by lot (judgements).
    /// </summary>
    public static CountOutcome OfBin(long differenceMg, long toleranceMg, DriftSum drift) =>
        Math.Abs(differenceMg) > toleranceMg || drift.IsBeyond ? CountOutcome.Differs : CountOutcome.Agrees;

    /// <summary>A lot can't be counted below what is promised without saying whom it hits.</summary>
    /// <param name="holders">Whose requests and which kits those are, with their masses; null only where nothing is promised.</param>
    /// <param name="field">Input field that a refusal names.</param>
    public static Refusal? MayBeFound(long foundMg, long heldMg, string lotCode, Phrase? holders, string field) =>
        foundMg >= heldMg
            ? null
            : Refusal.Invalid(field, "{0} of lot {1} are promised, more than was found: {2}. First cancel a request under Hand-over, or put a kit back on the kit's own page.", Mass.FromMilligrams(heldMg), lotCode, (object?)holders ?? "");
}
