using GuildStash.Data;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Tests.Support;

/// <summary>Lets a test go on as soon as somebody stands in front of a lock, without sleeping.</summary>
internal static class LockWait
{
    /// <summary>Until a session waits for a lock that the one of the given context has.</summary>
    public static async Task ForAsync(GuildRoom room, GuildDbContext holder)
    {
        int blocker = (await holder.Database.SqlQuery<int>($"select pg_backend_pid() as \"Value\"").ToListAsync(GuildRoom.Cancellation))[0];

        // A context of its own: within a transaction the server shows its activity as it was at the first look.
        await using GuildDbContext db = room.Look();
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(20));
        while ((await db.Database.SqlQuery<int>(
            $"select count(*)::int as \"Value\" from pg_stat_activity where {blocker} = any(pg_blocking_pids(pid))").ToListAsync(GuildRoom.Cancellation))[0] == 0)
        {
            await again.WaitForNextTickAsync(GuildRoom.Cancellation);
        }
    }
}
