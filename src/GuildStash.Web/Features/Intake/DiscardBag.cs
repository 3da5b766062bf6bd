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
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <param name="Mg">Milligrams thrown away, or that would be.</param>
/// <param name="ApprovalId">The request that waits for a second person; null where it is done.</param>
public sealed record DiscardedBag(long Mg, Guid? ApprovalId);

/// <summary>
/// Throws away what is left of a bag and every lot of it that is still in quarantine. Mould and insects leave the room at once; of other
/// bags more than a ball's worth needs a second person.
/// </summary>
public sealed class DiscardBag(GuildWork work)
{
    public Task<Outcome<DiscardedBag>> RunAsync(Guid by, Guid bagId, string reason, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => DiscardAsync(act, bagId, reason), cancellation);

    private static async Task<Outcome<DiscardedBag>> DiscardAsync(Act act, Guid bagId, string reason)
    {
        Check check = new();
        string why = check.Needed(reason, "reason", 500);
        if (check.Failed)
        {
            return check.Refuse<DiscardedBag>();
        }

        Outcome<Bag> found = await OpenAsync(act, bagId);
        if (!found.IsOk)
        {
            return Outcome<DiscardedBag>.Refused(found.Refusals);
        }

        Bag bag = found.Value;
        if (RestOfBag.SurplusNeedsSecondPerson(-bag.UnsortedMg) && !ConditionRules.StaysShut(bag.Conditions))
        {
            return Refusal.Conflict("lots-outweigh-bag", "The lots of bag {0} weigh {1} more than it did, so nothing of it is left to discard. Weigh them again and undo a wrong one, or close the bag.",
                $"{bag.Donation.Number}/{bag.Ordinal}", Mass.FromMilligrams(-bag.UnsortedMg));
        }

        List<Guid> lots = await BagContents.QuarantinedLots(act, bagId).Select(l => l.Id).ToListAsync(act.Cancellation);
        IReadOnlyCollection<Guid> kin = await LeftAlone.LockKinAsync(act, [.. lots]);
        long left = (await BagContents.LeftMgAsync(act, [bagId])).GetValueOrDefault(bagId);
        if (ConditionRules.StaysShut(bag.Conditions) || !WriteOffRules.NeedsSecondPerson(left, await LeftAlone.MgAsync(act, kin)))
        {
            Outcome<long> thrown = await ThrowAwayAsync(act, bagId, why, null);
            return thrown.IsOk ? new DiscardedBag(thrown.Value, null) : Outcome<DiscardedBag>.Refused(thrown.Refusals);
        }

        string number = $"{bag.Donation.Number}/{bag.Ordinal}";
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(
            act, ApprovalKind.WriteOff, new WriteOffRequest(null, number, left, left, WriteOffTo.Waste, why), new ApprovalSubject(number, left, lots, bagId));
        return asked.IsOk ? new DiscardedBag(left, asked.Value.Id) : Outcome<DiscardedBag>.Refused(asked.Refusals);
    }

    /// <summary>Books it and closes the bag.</summary>
    /// <returns>Milligrams thrown away.</returns>
    internal static async Task<Outcome<long>> ThrowAwayAsync(Act act, Guid bagId, string why, Guid? approvalId)
    {
        Outcome<Bag> found = await OpenAsync(act, bagId);
        if (!found.IsOk)
        {
            return Outcome<long>.Refused(found.Refusals);
        }

        Bag bag = found.Value;
        long thrownAway = await DiscardQuarantinedLotsAsync(act, bag, why, approvalId);
        long left = bag.UnsortedMg;
        if (left != 0)
        {
            MovementDraft draft = left > 0
                ? MovementDraft.Create(Place.Bag(bag.Id), Place.Waste, left, MovementReason.Discarded)
                : MovementDraft.Create(Place.Adjustment, Place.Bag(bag.Id), -left, MovementReason.SortingDifference);
            act.Db.Movements.Add(Movement.OfBag(draft, bag.Id, act.By.Id, act.Now, why, approvalId));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        bag.ClosedAt = act.Now;
        bag.ClosedById = act.By.Id;
        bag.InspectedAt = act.Now;
        bag.InspectedById = act.By.Id;
        bag.InspectionNote = why;
        bag.Version++;
        return thrownAway + Math.Max(0, left);
    }

    private static async Task<Outcome<Bag>> OpenAsync(Act act, Guid bagId)
    {
        Bag? bag = await BagLock.TakeAsync(act.Db, bagId, act.Cancellation);
        return bag switch
        {
            null => Refusal.NotFound("There is no such bag."),
            { ClosedAt: not null } => Refusal.Conflict("bag-closed", "Bag {0} is closed already.", $"{bag.Donation.Number}/{bag.Ordinal}"),
            _ => bag,
        };
    }

    private static async Task<long> DiscardQuarantinedLotsAsync(Act act, Bag bag, string why, Guid? approvalId)
    {
        List<Guid> ids = await BagContents.QuarantinedLots(act, bag.Id).Select(l => l.Id).ToListAsync(act.Cancellation);
        long thrownAway = 0;
        foreach (Lot lot in await LotLock.TakeAsync(act.Db, ids, act.Cancellation))
        {
            long mass = await LotPlace.InOwnBinMgAsync(act, lot);
            if (mass > 0)
            {
                MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, lot.Bin.IsQuarantine), Place.Waste, mass, MovementReason.Discarded);
                act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, why, approvalId: approvalId));
                thrownAway += mass;
            }

            await LotClosing.CloseIfEmptyAsync(act, lot);
        }

        return thrownAway;
    }
}

/// <summary>What a bag and its lots in quarantine weigh together.</summary>
internal static class BagContents
{
    public static IQueryable<Lot> QuarantinedLots(Act act, Guid bagId) => act.Db.Lots.Where(l => l.BagId == bagId && l.QuarantineReason != null && l.ClosedAt == null);

    /// <summary>By bag: unsorted, where that is not below nothing, and what lies in the own bins of its lots in quarantine.</summary>
    public static async Task<Dictionary<Guid, long>> LeftMgAsync(Act act, Guid[] bagIds) =>
        await act.Db.Bags.Where(b => bagIds.Contains(b.Id)).Select(b => new
        {
            b.Id,
            Mg = (b.UnsortedMg > 0 ? b.UnsortedMg : 0)
                + act.Db.Lots.Where(l => l.BagId == b.Id && l.QuarantineReason != null && l.ClosedAt == null).Sum(l => l.OnHandMg)
                - act.Db.LotReturns.Where(r => r.Lot.BagId == b.Id && r.Lot.QuarantineReason != null && r.Lot.ClosedAt == null && r.SettledAt == null).Sum(r => r.Mg),
        }).ToDictionaryAsync(b => b.Id, b => b.Mg, act.Cancellation);
}
