using GuildStash.Data.Stock;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Data.Ledger;

/// <summary>
/// Takes lots out of everybody else's hands until the transaction ends. Inside the lock the holds that have run out by the
/// database's clock are ended first, so that the balances then read are those that count.
/// </summary>
public static class LotLock
{
    /// <summary>Locks in the order of the ids, so that two people who want the same lots never wait for each other in a ring.</summary>
    /// <returns>The lots that exist, tracked, with balances as they stand after lapsed holds were ended.</returns>
    public static async Task<List<Lot>> TakeAsync(GuildDbContext db, IReadOnlyCollection<Guid> lotIds, CancellationToken cancellation)
    {
        Guid[] ids = [.. lotIds.Distinct()];
        await db.Database.ExecuteSqlAsync(
            $"with locked as (select id from lot where id = any({ids}) order by id for no key update) select count(*) from locked", cancellation);
        await LapseAsync(db, ids, cancellation);

        // Entities that were read before the lock would keep their old balances.
        foreach (Lot known in db.Lots.Local.Where(l => ids.Contains(l.Id)).ToList())
        {
            await db.Entry(known).ReloadAsync(cancellation);
        }

        return await db.Lots.Include(l => l.Bin).Include(l => l.MergedInto).Where(l => ids.Contains(l.Id)).OrderBy(l => l.Id).ToListAsync(cancellation);
    }

    public static async Task<Lot?> TakeAsync(GuildDbContext db, Guid lotId, CancellationToken cancellation) =>
        (await TakeAsync(db, [lotId], cancellation)).SingleOrDefault();

    private static Task LapseAsync(GuildDbContext db, Guid[] lotIds, CancellationToken cancellation) =>
        db.Database.ExecuteSqlAsync(
            $"""
             update hold set state = 'Lapsed', ended_at = expires_at
             where lot_id = any({lotIds}) and state = 'Active' and expires_at <= now()
             """,
            cancellation);
}
