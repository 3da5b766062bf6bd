using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>Books grams from one lot to another: a transfer and its two movements.</summary>
internal static class Relot
{
    /// <summary>The half that comes into the other lot, so that nothing is promised there that is not there yet. Saved.</summary>
    public static Task ArriveAsync(Act act, LotTransfer transfer, Lot to, Bin bin, MovementReason reason, string note)
    {
        act.Db.LotTransfers.Add(transfer);
        MovementDraft draft = MovementDraft.Create(Place.Relotted(transfer.Id), Place.Bin(bin.Id, bin.IsQuarantine), transfer.Mg, reason);
        act.Db.Movements.Add(Movement.OfLot(draft, to, act.By.Id, act.Now, note, approvalId: transfer.ApprovalId));
        return act.Db.SaveChangesAsync(act.Cancellation);
    }

    /// <summary>The half that leaves the lot's own bin. Saved.</summary>
    public static Task LeaveAsync(Act act, LotTransfer transfer, Lot from, MovementReason reason, string note, Guid? correctsId = null)
    {
        MovementDraft draft = MovementDraft.Create(Place.Bin(from.BinId, from.Bin.IsQuarantine), Place.Relotted(transfer.Id), transfer.Mg, reason);
        act.Db.Movements.Add(Movement.OfLot(draft, from, act.By.Id, act.Now, note, correctsId: correctsId, approvalId: transfer.ApprovalId));
        return act.Db.SaveChangesAsync(act.Cancellation);
    }

    /// <summary>Closes an empty lot whose code means another one from now on, and lets searches for the old code find that one.</summary>
    public static async Task CloseIntoAsync(Act act, Lot lot, Lot into)
    {
        lot.ClosedAt = act.Now;
        lot.MergedIntoId = into.Id;
        Changed(act, lot);
        await act.Db.SaveChangesAsync(act.Cancellation);
        await act.Db.Database.ExecuteSqlAsync($"update lot set words = '' where id = {into.Id}", act.Cancellation);
    }

    public static void Changed(Act act, Lot lot)
    {
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
    }
}
