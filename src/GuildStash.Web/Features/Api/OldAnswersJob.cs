using GuildStash.Data;
using GuildStash.Data.Api;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Api;

/// <summary>
/// Forgets kept answers and the marks of writes when their time is over, once an hour; several nodes may do it at once. Nothing depends on
/// it, since an answer that is too old is not given any more, and nobody asks for an old mark.
/// </summary>
public sealed partial class OldAnswersJob(IDbContextFactory<GuildDbContext> contexts, TimeProvider clock, ILogger<OldAnswersJob> log) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromHours(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using PeriodicTimer timer = new(Interval, clock);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            try
            {
                await TidyAsync(contexts, stoppingToken);
            }
            catch (Exception exception) when (!stoppingToken.IsCancellationRequested)
            {
                LogLeft(exception);
            }
        }
    }

    /// <returns>How many answers were forgotten.</returns>
    public static async Task<int> TidyAsync(IDbContextFactory<GuildDbContext> contexts, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        await db.WriteMarks.Where(m => m.CreatedAt < DateTimeOffset.UtcNow - WriteMark.KeptFor).ExecuteDeleteAsync(cancellation);
        return await db.IdempotentResponses.Where(r => r.CreatedAt < DateTimeOffset.UtcNow - IdempotentResponse.KeptFor).ExecuteDeleteAsync(cancellation);
    }

    [LoggerMessage(LogLevel.Warning, "Old answers could not be forgotten; the next round tries again")]
    private partial void LogLeft(Exception exception);
}
