using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Shared;

namespace GuildStash.Web.Features.Intake;

/// <summary>What pages say about a bag's state and way.</summary>
public static class BagWords
{
    /// <summary>Why yarn is kept apart, as the end of a sentence.</summary>
    public static Phrase Why(this QuarantineReason reason) => new(reason switch
    {
        QuarantineReason.SignsOfInsects => "signs of insects",
        QuarantineReason.SignsOfMould => "signs of mould",
        QuarantineReason.Damp => "it is damp",
        QuarantineReason.Policy => "the guild keeps every bag apart first",
        QuarantineReason.AnimalOrUnknownFibre => "animal or unknown fibre",
        QuarantineReason.ReturnNotInspected => "a return waits for inspection",
        _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "Unknown reason."),
    });

    /// <summary>Where the rest of a bag went, as a choice and inside a sentence.</summary>
    public static Phrase Name(this RestTo to) => new(to switch
    {
        RestTo.PassedOn => "passed on",
        RestTo.Stuffing => "stuffing",
        RestTo.Lost => "lost",
        _ => "waste",
    });

    /// <summary>What became of the rest of a bag that is closed.</summary>
    public static Phrase RestOf(MovementReason? rest, object mass) => new(rest switch
    {
        MovementReason.PassedOn => "{0} was passed on",
        MovementReason.UsedAsStuffing => "{0} became stuffing",
        MovementReason.GoneMissing => "{0} is booked as lost",
        MovementReason.Discarded => "{0} was thrown away",
        _ => "{0} was bands, rubbish or rounding",
    }, mass);

    /// <summary>"1 lot", "14 lots".</summary>
    public static Phrase Lots(int count) => count == 1 ? new("1 lot") : new("{0} lots", count);

    /// <summary>Where a bag with these conditions goes from the door.</summary>
    public static Phrase WayOf(QuarantinePolicy policy, Conditions conditions)
    {
        if (ConditionRules.StaysShut(conditions))
        {
            return new("This bag stays shut. It goes to quarantine, is not sorted, and leaves the room.");
        }

        return ConditionRules.BagQuarantine(policy, conditions) is { } reason
            ? new("This bag goes to quarantine ({0}). It is sorted into quarantine bins and is free after an inspection.", reason.Why())
            : policy == QuarantinePolicy.AnimalAndUnknownFibre
                ? new("This bag goes to sorting. Animal and unknown fibre in it goes to quarantine bins.")
                : new("This bag goes to sorting.");
    }

    public static (Phrase Word, StatusTone Tone) StateOf(BagView bag) => bag switch
    {
        { IsClosed: true } => (new("closed"), StatusTone.Soft),
        { StaysShut: true } => (new("stays shut"), StatusTone.Caution),
        { QuarantineReason: not null } => (new("in quarantine"), StatusTone.Caution),
        _ => (new("to sort"), StatusTone.Plain),
    };

    public static (Phrase Word, StatusTone Tone) StateOf(GiftView gift) => gift switch
    {
        { Decision: IntakeDecision.DeclinedAtTheDoor } => (new("declined at the door"), StatusTone.Soft),
        { Decision: IntakeDecision.PassedOn } => (new("passed on"), StatusTone.Soft),
        { Decision: IntakeDecision.Discarded } => (new("discarded"), StatusTone.Soft),
        _ when gift.Bags.All(b => b.IsClosed) => (new("done"), StatusTone.Good),
        _ when gift.Bags.Any(b => b is { IsClosed: false, QuarantineReason: not null }) => (new("in quarantine"), StatusTone.Caution),
        _ => (new("to sort"), StatusTone.Plain),
    };
}
