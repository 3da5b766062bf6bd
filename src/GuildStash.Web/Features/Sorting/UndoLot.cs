using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Takes a lot that was entered by mistake back into its bag: a counter-movement, and the code is closed for good.</summary>
public sealed class UndoLot(GuildWork work)
{
    /// <summary>The rule that is broken where somebody else, or another tab, was faster.</summary>
    public const string AlreadyUndone = "lot-undone";

    public Task<Outcome<bool>> RunAsync(Guid by, Guid lotId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => UndoAsync(act, lotId), cancellation);

    private static async Task<Outcome<bool>> UndoAsync(Act act, Guid lotId)
    {
        Guid bagId = await act.Db.Lots.Where(l => l.Id == lotId).Select(l => l.BagId).SingleOrDefaultAsync(act.Cancellation);
        if (bagId == Guid.Empty)
        {
            return Refusal.NotFound("There is no such lot.");
        }

        Data.Intake.Bag bag = (await Intake.BagLock.TakeAsync(act.Db, bagId, act.Cancellation))!;
        Lot lot = (await LotLock.TakeAsync(act.Db, lotId, act.Cancellation))!;
        List<Movement> movements = await act.Db.Movements.Where(m => m.LotId == lotId).ToListAsync(act.Cancellation);
        if (lot.ClosedAt is not null && movements.All(m => m.Reason is MovementReason.Sorted or MovementReason.EnteredByMistake) && movements.Count is 0 or 2)
        {
            return Refusal.Conflict(AlreadyUndone, "Lot {0} was taken back into its bag already; its label is void.", Domain.Codes.LotCode.Parse(lot.Code).Value.Display);
        }

        if (bag.ClosedAt is not null || lot.ClosedAt is not null || lot.HeldMg > 0 || movements.Count > 1
            || await act.Db.Checkouts.AnyAsync(c => c.LotId == lotId, act.Cancellation))
        {
            return Refusal.Conflict("lot-in-use", "This lot can't be taken back into its bag: it was moved, reserved or handed out, or its bag is closed. Correct it instead.");
        }

        if (movements is [{ FromKind: PlaceKind.Relotted }])
        {
            return Refusal.Conflict("lot-was-split", "This lot came out of another one by a split. Undo the split on its page instead.");
        }

        if (movements is [{ } sorted])
        {
            MovementDraft draft = MovementDraft.Create(Place.Bin(lot.BinId, lot.Bin.IsQuarantine), Place.Bag(bagId), sorted.Mg, MovementReason.EnteredByMistake);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, correctsId: sorted.Id));
            await act.Db.SaveChangesAsync(act.Cancellation);
        }

        lot.ClosedAt = act.Now;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        return true;
    }
}
