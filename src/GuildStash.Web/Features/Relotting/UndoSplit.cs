using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>
/// Takes back a split that was entered by mistake, by counter-movements, while nothing has happened to the part. Later it is merged back,
/// with a second person.
/// </summary>
public sealed class UndoSplit(GuildWork work)
{
    /// <returns>The lot to which the part went back.</returns>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => UndoAsync(act, lotId), cancellation);

    private static async Task<Outcome<LotView>> UndoAsync(Act act, Guid lotId)
    {
        LotTransfer? split = await act.Db.LotTransfers.SingleOrDefaultAsync(t => t.ToLotId == lotId && t.Kind == LotTransferKind.Split, act.Cancellation);
        if (split is null)
        {
            return Refusal.NotFound("There is no such lot that came out of a split.");
        }

        List<Lot> lots = await LotLock.TakeAsync(act.Db, [split.FromLotId, lotId], act.Cancellation);
        Lot part = lots.Single(l => l.Id == lotId);
        Lot origin = lots.Single(l => l.Id == split.FromLotId);
        List<Movement> movements = await act.Db.Movements.Where(m => m.LotId == lotId).Take(2).ToListAsync(act.Cancellation);
        bool waits = await act.Db.Approvals.AnyAsync(a => a.State == ApprovalState.Waiting && a.Lots.Any(l => l.LotId == lotId), act.Cancellation);
        bool frozen = await act.Db.FreezerLoads.AnyAsync(l => l.LotId == lotId, act.Cancellation);
        if (movements is not [{ } arrived] || part.ClosedAt is not null || part.HeldMg > 0 || waits || frozen
            || origin.MergedIntoId is not null || origin.Bin.ClosedAt is not null || (part.QuarantineReason is null) != (origin.QuarantineReason is null))
        {
            return Refusal.Conflict("lot-in-use", "The split of lot {0} can't be undone any more: it, or the lot that it came out of, was moved, promised, handed out or kept apart since. Merge it back instead.", LotCode.Parse(part.Code).Value.Display);
        }

        (long OnHandMg, SealedState State)[] balls = [(origin.OnHandMg, SealedInLot.State(origin)), (part.OnHandMg, SealedInLot.State(part))];
        SealedInLot.Together(origin, balls);
        if (balls.Any(each => each.State.Balls > 0))
        {
            LotFields.Compute(origin, act.Yardage);
        }

        origin.ClosedAt = null;
        origin.Count += split.Balls;
        Relot.Changed(act, origin);
        await act.Db.SaveChangesAsync(act.Cancellation);
        LotTransfer back = new() { Kind = LotTransferKind.SplitUndone, FromLotId = part.Id, ToLotId = origin.Id, Mg = split.Mg, Balls = split.Balls, UndoesId = split.Id, At = act.Now, ById = act.By.Id };
        await Relot.ArriveAsync(act, back, origin, origin.Bin, MovementReason.SplitUndone, "");
        await Relot.LeaveAsync(act, back, part, MovementReason.SplitUndone, "", arrived.Id);
        await Relot.CloseIntoAsync(act, part, origin);
        return (await LotViews.ByIdAsync(act, origin.Id))!;
    }
}
