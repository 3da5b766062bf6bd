using GuildStash.Data;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Holds;

/// <summary>
/// Tidies up holds that have run out, once a minute and on one node at a time. Nothing depends on it: whoever locks a lot ends its
/// lapsed holds first, by the database's clock.
/// </summary>
internal sealed class LapsedHoldsJob(IDbContextFactory<GuildDbContext> contexts, ILogger<LapsedHoldsJob> log) : BackgroundService
{
    private const long JobLock = 0x4755494C44535432;
    private const int MostAtOnce = 500;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using PeriodicTimer timer = new(TimeSpan.FromMinutes(1));
        do
        {
            try
            {
                int ended = await TidyAsync(contexts, stoppingToken);
                if (ended > 0)
                {
                    log.LogInformation("{Count} holds lapsed", ended);
                }
            }
            catch (Exception exception) when (!stoppingToken.IsCancellationRequested)
            {
                log.LogWarning(exception, "Lapsed holds could not be tidied up; the next round tries again");
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    /// <summary>Ends lapsed holds lot by lot in the order of the lots' ids, as everybody locks them.</summary>
    /// <returns>How many ended; 0 when another node is at it.</returns>
    internal static async Task<int> TidyAsync(IDbContextFactory<GuildDbContext> contexts, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        await using var transaction = await db.Database.BeginTransactionAsync(cancellation);
        List<bool> mine = await db.Database.SqlQuery<bool>($"select pg_try_advisory_xact_lock({JobLock}) as \"Value\"").ToListAsync(cancellation);
        if (!mine[0])
        {
            return 0;
        }

        int ended = await db.Database.ExecuteSqlAsync(
            $"""
             with due as (
                 select distinct lot_id from hold where state = 'Active' and expires_at <= now() limit {MostAtOnce}),
             locked as (
                 select id from lot where id in (select lot_id from due) order by id for no key update)
             update hold set state = 'Lapsed', ended_at = expires_at
             where lot_id in (select id from locked) and state = 'Active' and expires_at <= now()
             """,
            cancellation);
        await transaction.CommitAsync(cancellation);
        return ended;
    }
}
