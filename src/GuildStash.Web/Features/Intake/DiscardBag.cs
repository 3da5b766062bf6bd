using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>Throws away what is left of a bag and every lot of it that is still in quarantine.</summary>
public sealed class DiscardBag(GuildWork work)
{
    /// <returns>Milligrams thrown away.</returns>
    public Task<Outcome<long>> RunAsync(Guid by, Guid bagId, string reason, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => DiscardAsync(act, bagId, reason), cancellation);

    private static async Task<Outcome<long>> DiscardAsync(Act act, Guid bagId, string reason)
    {
        Check check = new();
        string why = check.Needed(reason, "reason", 500);
        if (check.Failed)
        {
            return check.Refuse<long>();
        }

        Bag? bag = await BagLock.TakeAsync(act.Db, bagId, act.Cancellation);
        if (bag is null)
        {
            return Refusal.NotFound("There is no such bag.");
        }

        if (bag.ClosedAt is not null)
        {
            return Refusal.Conflict("bag-closed", "Bag {0} is closed already.", $"{bag.Donation.Number}/{bag.Ordinal}");
        }

        long thrownAway = await DiscardQuarantinedLotsAsync(act, bag, why);
        long left = bag.UnsortedMg;
        if (left != 0)
        {
            MovementDraft draft = left > 0
                ? MovementDraft.Create(Place.Bag(bag.Id), Place.Waste, left, MovementReason.Discarded)
                : MovementDraft.Create(Place.Adjustment, Place.Bag(bag.Id), -left, MovementReason.SortingDifference);
            act.Db.Movements.Add(Movement.OfBag(draft, bag.Id, act.By.Id, act.Now, why));
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

    private static async Task<long> DiscardQuarantinedLotsAsync(Act act, Bag bag, string why)
    {
        List<Guid> ids = await act.Db.Lots.Where(l => l.BagId == bag.Id && l.ClosedAt == null && l.QuarantineReason != null)
            .Select(l => l.Id).ToListAsync(act.Cancellation);
        long thrownAway = 0;
        foreach (Lot lot in await LotLock.TakeAsync(act.Db, ids, act.Cancellation))
        {
            long mass = await LotPlace.InOwnBinMgAsync(act, lot);
            if (mass > 0)
            {
                MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, lot.Bin.IsQuarantine), Place.Waste, mass, MovementReason.Discarded);
                act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, why));
                thrownAway += mass;
            }

            await LotClosing.CloseIfEmptyAsync(act, lot);
        }

        return thrownAway;
    }
}
