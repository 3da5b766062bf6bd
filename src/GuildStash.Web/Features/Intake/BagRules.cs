using GuildStash.Data.Intake;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>What may be done with a bag in its present state.</summary>
internal static class BagRules
{
    /// <summary>The n-th bag of a gift.</summary>
    public static async Task<Outcome<Guid>> OfGiftAsync(Act act, Guid donationId, int ordinal)
    {
        if (!await act.Db.Donations.AnyAsync(d => d.Id == donationId, act.Cancellation))
        {
            return Refusal.NotFound("There is no such donation.");
        }

        Guid bagId = await act.Db.Bags.Where(b => b.DonationId == donationId && b.Ordinal == ordinal).Select(b => b.Id).SingleOrDefaultAsync(act.Cancellation);
        return bagId == Guid.Empty ? Refusal.Invalid("bag", "This donation has no bag {0}.", ordinal) : bagId;
    }

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
