using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>What happens to a kit because its yarn is handed over or comes back, wherever that is done.</summary>
internal static class KitSteps
{
    /// <summary>A kit that nobody makes yet stands in the name of whoever put it together; it must not go home with them by mistake.</summary>
    public static async Task<Refusal?> NobodyMakesItAsync(Act act, Guid requestId)
    {
        string? number = await act.Db.Kits.Open(act.Db, act.Now).Where(k => k.RequestId == requestId).Select(k => k.Number).SingleOrDefaultAsync(act.Cancellation);
        return number is null
            ? null
            : Refusal.Conflict("kit-is-nobodys", "This yarn is in kit {0}, which nobody makes yet. Open the kit and say who takes it.", number);
    }

    /// <summary>The first yarn of a kit that goes home starts its pieces.</summary>
    public static async Task TakenHomeAsync(Act act, Hold? hold)
    {
        if (hold is null || await LockedAsync(act, hold.Id) is not { } kit)
        {
            return;
        }

        kit.GivenAt ??= act.Now;
        kit.Version++;
        if (await act.Db.PieceRecords.AnyAsync(r => r.KitId == kit.Id && r.Step == PieceStep.Started, act.Cancellation))
        {
            await act.Db.SaveChangesAsync(act.Cancellation);
            return;
        }

        DateOnly today = GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now);
        act.Db.PieceRecords.Add(Of(act, kit, PieceStep.Started, kit.Pieces, today, kit.Request.MemberId, ""));
        await act.Db.SaveChangesAsync(act.Cancellation);
    }

    /// <summary>
    /// Shares what a kit took among its finished pieces, once nothing of it is at home any more. What it took is what the books say was used
    /// up: taken less brought back, so the records agree with the ledger whoever books the return, and wherever.
    /// </summary>
    public static async Task SettleAsync(Act act, Checkout checkout)
    {
        if (checkout.HoldId is { } holdId && await LockedAsync(act, holdId) is { } kit)
        {
            await SettleAsync(act, kit);
        }
    }

    /// <inheritdoc cref="SettleAsync(Act, Checkout)"/>
    public static async Task SettleAsync(Act act, Kit kit)
    {
        await act.Db.SaveChangesAsync(act.Cancellation);
        List<PieceRecord> finished = await act.Db.PieceRecords
            .Where(r => r.KitId == kit.Id && r.Step == PieceStep.Finished && r.Pieces > 0 && !act.Db.PieceRecords.Any(t => t.TakesBackId == r.Id))
            .OrderBy(r => r.On).ThenBy(r => r.Id).ToListAsync(act.Cancellation);
        IQueryable<Checkout> checkouts = act.Db.Checkouts.Where(c => c.HoldId != null && act.Db.KitLines.Any(l => l.KitId == kit.Id && l.HoldId == c.HoldId));
        bool isOver = await checkouts.AnyAsync(act.Cancellation) && !await checkouts.AnyAsync(c => c.ClosedAt == null, act.Cancellation);
        long used = isOver
            ? await act.Db.Movements.Where(m => (m.Reason == MovementReason.UsedUp || m.Reason == MovementReason.Kept) && checkouts.Any(c => c.Id == m.CheckoutId)).SumAsync(m => m.Mg, act.Cancellation)
            : 0;
        int pieces = finished.Sum(r => r.Pieces);
        long given = 0;
        int counted = 0;
        foreach (PieceRecord record in finished)
        {
            counted += record.Pieces;
            long upTo = used * counted / pieces;
            record.UsedMg = used > 0 ? upTo - given : null;
            given = upTo;
        }

        kit.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
    }

    /// <summary>The kit of a hold whose lot is locked already; null where it is in none.</summary>
    public static async Task<Kit?> LockedAsync(Act act, Guid holdId)
    {
        Guid? kitId = await act.Db.KitLines.Where(l => l.HoldId == holdId).Select(l => (Guid?)l.KitId).SingleOrDefaultAsync(act.Cancellation);
        if (kitId is not { } known)
        {
            return null;
        }

        await KitFinder.LockAsync(act, known);
        return await act.Db.Kits.Include(k => k.Request).SingleAsync(k => k.Id == known, act.Cancellation);
    }

    /// <summary>A record of a kit's pieces.</summary>
    public static PieceRecord Of(Act act, Kit kit, PieceStep step, int pieces, DateOnly on, Guid? maker, string note) => new()
    {
        ProjectId = kit.ProjectId,
        WantedPieceId = kit.WantedPieceId,
        PieceId = kit.PieceId,
        KitId = kit.Id,
        PieceName = kit.PieceName,
        Step = step,
        Pieces = pieces,
        On = on,
        MakerId = maker,
        Note = note,
        CreatedAt = act.Now,
        CreatedById = act.By.Id,
    };
}
