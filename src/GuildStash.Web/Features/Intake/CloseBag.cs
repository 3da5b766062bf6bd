using GuildStash.Data;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <param name="DifferenceMg">Bag minus its lots: positive went to waste (bands, rubbish), negative was weighing error.</param>
public sealed record ClosedBag(Guid BagId, string Number, long DifferenceMg);

/// <summary>Ends the sorting of a bag and books what its lots do not account for, so that the bag's mass and its lots' always meet.</summary>
public sealed class CloseBag(GuildWork work)
{
    public Task<Outcome<ClosedBag>> RunAsync(Guid by, Guid bagId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => CloseAsync(act, bagId), cancellation);

    private static async Task<Outcome<ClosedBag>> CloseAsync(Act act, Guid bagId)
    {
        Bag? bag = await BagLock.TakeAsync(act.Db, bagId, act.Cancellation);
        if (bag is null)
        {
            return Refusal.NotFound("There is no such bag.");
        }

        string number = $"{bag.Donation.Number}/{bag.Ordinal}";
        if (BagRules.MayBeSorted(bag, number) is { } refusal)
        {
            return refusal;
        }

        if (await act.Db.Lots.AnyAsync(l => l.BagId == bagId && !l.MassKnown && l.ClosedAt == null, act.Cancellation))
        {
            return Refusal.Conflict("lot-not-weighed", "Bag {0} has lots that were not weighed yet. Weigh them first; only then the bag's mass can be compared with its lots'.", number);
        }

        long difference = bag.UnsortedMg;
        if (difference != 0)
        {
            Place here = Place.Bag(bag.Id);
            MovementDraft draft = difference > 0
                ? MovementDraft.Create(here, Place.Waste, difference, MovementReason.SortingDifference)
                : MovementDraft.Create(Place.Adjustment, here, -difference, MovementReason.SortingDifference);
            act.Db.Movements.Add(Movement.OfBag(draft, bag.Id, act.By.Id, act.Now));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        bag.ClosedAt = act.Now;
        bag.ClosedById = act.By.Id;
        bag.Version++;
        return new ClosedBag(bag.Id, number, difference);
    }
}

/// <summary>Takes a bag out of everybody else's hands until the transaction ends.</summary>
internal static class BagLock
{
    public static async Task<Bag?> TakeAsync(GuildDbContext db, Guid bagId, CancellationToken cancellation)
    {
        await db.Database.ExecuteSqlAsync($"select 1 from bag where id = {bagId} for no key update", cancellation);
        return await db.Bags.Include(b => b.Donation).SingleOrDefaultAsync(b => b.Id == bagId, cancellation);
    }
}
