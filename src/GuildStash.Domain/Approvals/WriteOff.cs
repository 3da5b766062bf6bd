using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>Where yarn that is written off went.</summary>
public enum WriteOffTo
{
    Waste = 0,
    Lost = 1,
}

/// <summary>What a request for a write-off would do; kept with it, so that its figures can be read later.</summary>
/// <param name="LotCode">Code without hyphen; null where a whole bag is meant.</param>
/// <param name="BagNumber">Number of the bag, such as D-2026-0042/1; null where a lot is meant.</param>
/// <param name="Mg">Milligrams that leave the books; of a bag, what was left when it was asked for.</param>
/// <param name="BookMg">Milligrams in the lot's bin, in the bag with its lots in quarantine, or unsorted in a bag whose rest is lost, when it was asked for.</param>
/// <param name="ReturnId">The leftovers that did not pass their inspection, where those are meant: they wait apart from the lot's bin.</param>
public sealed record WriteOffRequest(string? LotCode, string? BagNumber, long Mg, long BookMg, WriteOffTo To, string Reason, Guid? ReturnId = null)
{
    /// <summary>What would happen, in a sentence.</summary>
    public Phrase Sentence() => this switch
    {
        { BagNumber: { } bag, To: WriteOffTo.Lost } => new("Bag {0} is closed; what is not sorted of it, {1}, is booked as lost.", bag, Mass.FromMilligrams(Mg)),
        { BagNumber: { } bag } => new("Bag {0} with its lots in quarantine, {1} together, goes to waste.", bag, Mass.FromMilligrams(Mg)),
        { ReturnId: not null } => new("{0} of lot {1} that came back and did not pass their inspection go to waste.", Mass.FromMilligrams(Mg), Lot),
        { To: WriteOffTo.Lost } => new("{0} of lot {1} are booked as lost; {2} stay in its bin.", Mass.FromMilligrams(Mg), Lot, Mass.FromMilligrams(BookMg - Mg)),
        _ => new("{0} of lot {1} go to waste; {2} stay in its bin.", Mass.FromMilligrams(Mg), Lot, Mass.FromMilligrams(BookMg - Mg)),
    };

    /// <summary>What has changed since it was asked for; null when nothing has.</summary>
    /// <param name="bookMg">What the books have there now.</param>
    public Phrase? Since(long bookMg) => bookMg == BookMg
        ? null
        : new("When this was asked for, the books had {0} there; now they have {1}.", Mass.FromMilligrams(BookMg), Mass.FromMilligrams(bookMg));

    private string Lot => Codes.LotCode.Parse(LotCode!).Value.Display;
}

/// <summary>When one person may write off alone.</summary>
public static class WriteOffRules
{
    /// <summary>A ball's worth (common practice: a ball is 50 g).</summary>
    public const long AloneMg = 50_000;

    /// <summary>
    /// What left without a second person within so many days counts together, so that a lot does not leave in small steps: of the lot and of
    /// all that splits and merges connect it with, as write-off, as leftovers thrown away, or as a smaller weight (a judgement).
    /// </summary>
    public const int TogetherDays = 30;

    /// <param name="mg">What is to be written off.</param>
    /// <param name="aloneBeforeMg">What left the same yarn without a second person within <see cref="TogetherDays"/>.</param>
    public static bool NeedsSecondPerson(long mg, long aloneBeforeMg) => mg + aloneBeforeMg > AloneMg;

    /// <summary>When a new weight of a lot that was weighed before needs a second person: less is as a write-off, more as yarn from nowhere.</summary>
    /// <param name="differenceMg">What the scale shows less what the books have.</param>
    /// <param name="aloneBeforeMg">As for <see cref="NeedsSecondPerson"/>; it counts where the lot weighs less.</param>
    public static bool WeightNeedsSecondPerson(long differenceMg, long aloneBeforeMg) =>
        differenceMg < 0 ? NeedsSecondPerson(-differenceMg, aloneBeforeMg) : differenceMg > AloneMg;

    /// <summary>Only what lies in the lot's bin and is not promised can be written off.</summary>
    /// <param name="mg">What is to be written off.</param>
    /// <param name="inBinMg">What lies in the lot's own bin.</param>
    /// <param name="heldMg">What of it is promised to members.</param>
    /// <param name="lotCode">The lot's code for people.</param>
    public static Refusal? MayLeave(long mg, long inBinMg, long heldMg, string lotCode) =>
        mg > inBinMg
            ? Refusal.Conflict("not-enough-in-bin", "{0} of lot {1} can't be written off: {2} are in its bin. Enter what is really gone.", Mass.FromMilligrams(mg), lotCode, Mass.FromMilligrams(inBinMg)) with { Field = "grams" }
            : mg > inBinMg - heldMg
                ? Refusal.Conflict("held-more", "{0} of lot {1} are promised to members; at most {2} can be written off. Cancel or shorten a hold first.", Mass.FromMilligrams(heldMg), lotCode, Mass.FromMilligrams(inBinMg - heldMg)) with { Field = "grams" }
                : null;
}
