using GuildStash.Data;
using GuildStash.Data.People;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Drafts;

/// <summary>
/// Throws away drafts that nobody took up, once an hour; several nodes may do it at once. Nothing depends on it, since a draft that is
/// too old is not offered any more.
/// </summary>
public sealed partial class OldDraftsJob(IDbContextFactory<GuildDbContext> contexts, TimeProvider clock, ILogger<OldDraftsJob> log) : BackgroundService
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

    /// <returns>How many were thrown away.</returns>
    public static async Task<int> TidyAsync(IDbContextFactory<GuildDbContext> contexts, CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        return await db.Drafts.Where(d => d.SavedAt < DateTimeOffset.UtcNow - Draft.KeptFor).ExecuteDeleteAsync(cancellation);
    }

    [LoggerMessage(LogLevel.Warning, "Old drafts could not be thrown away; the next round tries again")]
    private partial void LogLeft(Exception exception);
}
