using GuildStash.Data.Intake;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Intake;

/// <summary>What may be done with a bag in its present state.</summary>
internal static class BagRules
{
    public static Refusal? MayBeSorted(Bag bag, string number)
    {
        if (bag.ClosedAt is not null)
        {
            return Refusal.Conflict("bag-closed", "Bag {0} is closed. Reopen nothing: log what is found later as a gift of its own.", number);
        }

        return ConditionRules.StaysShut(bag.Conditions)
            ? Refusal.Conflict("bag-stays-shut", "Bag {0} stays shut: mould or insects were noted on it. It is not sorted; discard it, and tell the coordinator.", number)
            : null;
    }

    /// <summary>Whether the bag may leave quarantine at all.</summary>
    public static Refusal? MayBeReleased(Bag bag, string number)
    {
        if (bag.QuarantineReason is null)
        {
            return Refusal.Conflict("not-in-quarantine", "Bag {0} is not in quarantine.", number);
        }

        return ConditionRules.StaysShut(bag.Conditions)
            ? Refusal.Conflict("bag-stays-shut", "Bag {0} can't be released: mould or insects were noted on it. Discard it.", number)
            : null;
    }
}
