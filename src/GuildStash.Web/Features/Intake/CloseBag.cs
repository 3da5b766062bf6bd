using GuildStash.Data;
using GuildStash.Data.Approvals;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <param name="To">Where what no lot was made of went.</param>
/// <param name="Note">
/// To whom it went, or how it was looked for; needed where it is lost. Where the lots weigh more than the scales explain: what weighing them
/// again showed, needed then.
/// </param>
public sealed record RestInput(RestTo To = RestTo.Waste, string? Note = null);

/// <param name="DifferenceMg">Bag minus its lots: positive went where <paramref name="To"/> says, negative was weighing error.</param>
/// <param name="ApprovalId">The request that waits for a second person, the bag open meanwhile; null where it is closed.</param>
public sealed record ClosedBag(Guid BagId, string Number, long DifferenceMg, RestTo To = RestTo.Waste, Guid? ApprovalId = null);

/// <summary>Ends the sorting of a bag and books what its lots do not account for, so that the bag's mass and its lots' always meet.</summary>
public sealed class CloseBag(GuildWork work)
{
    private const int LongestNote = 500;

    /// <summary>With the rest as waste.</summary>
    public Task<Outcome<ClosedBag>> RunAsync(Guid by, Guid bagId, CancellationToken cancellation) =>
        RunAsync(by, bagId, new RestInput(), cancellation);

    public Task<Outcome<ClosedBag>> RunAsync(Guid by, Guid bagId, RestInput rest, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => CloseAsync(act, bagId, rest), cancellation);

    /// <summary>The same for the n-th bag of a donation.</summary>
    public Task<Outcome<ClosedBag>> RunAsync(Guid by, Guid donationId, int bagOrdinal, RestInput rest, CancellationToken cancellation) =>
        work.WriteAsync<ClosedBag>(by, Role.Volunteer, async act =>
        {
            Outcome<Guid> bag = await BagRules.OfGiftAsync(act, donationId, bagOrdinal);
            return bag.IsOk ? await CloseAsync(act, bag.Value, rest) : Outcome<ClosedBag>.Refused(bag.Refusals);
        }, cancellation);

    private static async Task<Outcome<ClosedBag>> CloseAsync(Act act, Guid bagId, RestInput rest)
    {
        Outcome<Bag> found = await TakeAsync(act, bagId);
        if (!found.IsOk)
        {
            return Outcome<ClosedBag>.Refused(found.Refusals);
        }

        Bag bag = found.Value;
        string number = NumberOf(bag);
        bool lost = rest.To == RestTo.Lost && bag.UnsortedMg > 0;
        Check check = new();
        check.That(Enum.IsDefined(rest.To), "restTo", "Say where the rest went: to waste, passed on, stuffing or lost.");
        // Treatment, an inspection and a second person lead out of quarantine; a rest that is passed on or stuffed into a toy would go round them.
        check.That(bag.QuarantineReason is null || bag.UnsortedMg <= 0 || rest.To is RestTo.Waste or RestTo.Lost, "restTo",
            "Bag {0} is in quarantine: what no lot was made of goes to waste, closed in a bag. Release the bag after an inspection first, if it is to be passed on.", number);
        string note = lost ? check.Needed(rest.Note, "note", LongestNote) : check.Text(rest.Note, "note", LongestNote);
        long surplus = -bag.UnsortedMg;
        check.That(note.Length > 0 || surplus <= 0 || !RestOfBag.SurplusNeedsReason(surplus, await ToleranceMgAsync(act, bag)), "note",
            "The lots of bag {0} weigh {1} more than it did. Weigh them again and undo a wrong one; if they are right, say here what you found.", number, Mass.FromMilligrams(Math.Max(0, surplus)));
        if (check.Failed)
        {
            return check.Refuse<ClosedBag>();
        }

        if (RestOfBag.SurplusNeedsSecondPerson(surplus))
        {
            long net = bag.GrossMg - bag.TareMg;
            BagSurplusRequest over = new(number, net, net + surplus, note);
            Outcome<Approval> waits = await AskSecondPerson.ForAsync(act, ApprovalKind.Weighing, over, new ApprovalSubject(number, surplus, [], bagId));
            return waits.IsOk ? new ClosedBag(bag.Id, number, bag.UnsortedMg, rest.To, waits.Value.Id) : Outcome<ClosedBag>.Refused(waits.Refusals);
        }

        if (!rest.To.NeedsSecondPerson(bag.UnsortedMg))
        {
            return new ClosedBag(bag.Id, number, await BookAsync(act, bag, rest.To, note, null), rest.To);
        }

        WriteOffRequest request = new(null, number, bag.UnsortedMg, bag.UnsortedMg, WriteOffTo.Lost, note);
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.WriteOff, request, new ApprovalSubject(number, bag.UnsortedMg, [], bagId));
        return asked.IsOk ? new ClosedBag(bag.Id, number, bag.UnsortedMg, rest.To, asked.Value.Id) : Outcome<ClosedBag>.Refused(asked.Refusals);
    }

    /// <summary>A second person approved that the rest is lost: books what is unsorted by now, and closes the bag.</summary>
    /// <returns>Milligrams that are lost; below zero where the lots weigh more by now.</returns>
    internal static async Task<Outcome<long>> LoseRestAsync(Act act, Guid bagId, string note, Guid approvalId)
    {
        Outcome<Bag> found = await TakeAsync(act, bagId);
        return found.IsOk ? await BookAsync(act, found.Value, RestTo.Lost, note, approvalId) : Outcome<long>.Refused(found.Refusals);
    }

    /// <summary>A second person approved that the lots weigh more: books what it is by now, and closes the bag.</summary>
    /// <returns>Milligrams by which the lots weigh more.</returns>
    internal static async Task<Outcome<long>> TakeSurplusAsync(Act act, Guid bagId, string note, Guid approvalId)
    {
        Outcome<Bag> found = await TakeAsync(act, bagId);
        if (!found.IsOk)
        {
            return Outcome<long>.Refused(found.Refusals);
        }

        return found.Value.UnsortedMg >= 0
            ? Refusal.Conflict("no-surplus-left", "The lots of bag {0} don't weigh more than it did any more. Decline this, and close the bag anew.", NumberOf(found.Value))
            : -await BookAsync(act, found.Value, RestTo.Waste, note, approvalId);
    }

    /// <summary>What the scales explain between the bag and its lots, in milligrams.</summary>
    private static async Task<long> ToleranceMgAsync(Act act, Bag bag)
    {
        int guildGrams = await act.Db.Guilds.Select(g => g.WeighingToleranceGrams).SingleAsync(act.Cancellation);
        long? division = await SortedLots.Of(act.Db).Where(l => l.BagId == bag.Id).MaxAsync(l => l.ScaleDivisionMg, act.Cancellation);
        return WeighingTolerance.Of(guildGrams, division, bag.GrossMg - bag.TareMg);
    }

    /// <summary>The bag, locked, where it may be closed now.</summary>
    private static async Task<Outcome<Bag>> TakeAsync(Act act, Guid bagId)
    {
        Bag? bag = await BagLock.TakeAsync(act.Db, bagId, act.Cancellation);
        if (bag is null)
        {
            return Refusal.NotFound("There is no such bag.");
        }

        string number = NumberOf(bag);
        if (BagRules.MayBeSorted(bag, number) is { } refusal)
        {
            return refusal;
        }

        return await act.Db.Lots.AnyAsync(l => l.BagId == bagId && !l.MassKnown && l.ClosedAt == null, act.Cancellation)
            ? Refusal.Conflict("lot-not-weighed", "Bag {0} has lots that were not weighed yet. Weigh them first; only then the bag's mass can be compared with its lots'.", number)
            : bag;
    }

    private static async Task<long> BookAsync(Act act, Bag bag, RestTo to, string note, Guid? approvalId)
    {
        long difference = bag.UnsortedMg;
        if (difference != 0)
        {
            Place here = Place.Bag(bag.Id);
            MovementDraft draft = difference > 0
                ? MovementDraft.Create(here, to.Place(), difference, to.Reason())
                : MovementDraft.Create(Place.Adjustment, here, -difference, MovementReason.SortingDifference);
            act.Db.Movements.Add(Movement.OfBag(draft, bag.Id, act.By.Id, act.Now, note, approvalId));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        bag.ClosedAt = act.Now;
        bag.ClosedById = act.By.Id;
        bag.Version++;
        return difference;
    }

    private static string NumberOf(Bag bag) => $"{bag.Donation.Number}/{bag.Ordinal}";
}

/// <summary>Takes a bag out of everybody else's hands until the transaction ends.</summary>
internal static class BagLock
{
    public static async Task<Bag?> TakeAsync(GuildDbContext db, Guid bagId, CancellationToken cancellation)
    {
        // Locked and read in one trip: this is on the way of every ball that is saved.
        return await db.Bags.FromSql($"select * from bag where id = {bagId} for no key update").Include(b => b.Donation).SingleOrDefaultAsync(cancellation);
    }
}
