using GuildStash.Data;
using GuildStash.Data.SafeKeeping;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.SafeKeeping;

/// <summary>Makes a back-up every night by the guild's clock, and at start when the last one is old.</summary>
public sealed partial class NightlyBackupJob(
    BackupDesk desk, IDbContextFactory<GuildDbContext> contexts, GuildDefaults guild, TimeProvider clock, ILogger<NightlyBackupJob> log) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromMinutes(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (desk.Folder is null)
        {
            return;
        }

        DateTimeOffset next = BackupSchedule.FirstAt(clock.GetUtcNow(), Last(), guild.Zone);

        // Looked at every minute rather than slept through, so that a clock that is set or a machine that slept does not matter.
        using PeriodicTimer timer = new(Interval, clock);
        do
        {
            if (clock.GetUtcNow() >= next && await IsSetUpAsync(stoppingToken))
            {
                next = await RunAsync(desk, guild, clock, stoppingToken);
            }
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    /// <summary>Makes one.</summary>
    /// <returns>When the next is due: the coming night, or sooner after a failure.</returns>
    public static async Task<DateTimeOffset> RunAsync(BackupDesk desk, GuildDefaults guild, TimeProvider clock, CancellationToken cancellation)
    {
        BackupEnd end = await desk.RunAsync(isNightly: true, null, cancellation);
        DateTimeOffset now = clock.GetUtcNow();
        DateTimeOffset night = BackupSchedule.NextAt(now, guild.Zone);
        return end == BackupEnd.Failed && now + BackupSchedule.Again < night ? now + BackupSchedule.Again : night;
    }

    private DateTimeOffset? Last()
    {
        try
        {
            return desk.List() is [{ } newest, ..] ? newest.MadeAt : null;
        }
        catch (SafeKeepingException)
        {
            // The attempt that follows says what is wrong with the folder.
            return null;
        }
    }

    /// <summary>A database that nobody has set up has nothing to keep safe.</summary>
    private async Task<bool> IsSetUpAsync(CancellationToken cancellation)
    {
        try
        {
            await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
            return await db.Guilds.AnyAsync(cancellation);
        }
        catch (Exception fault) when (!cancellation.IsCancellationRequested)
        {
            LogUnknown(fault);
            return false;
        }
    }

    [LoggerMessage(LogLevel.Warning, "The database does not answer, so the back-up waits a minute")]
    private partial void LogUnknown(Exception fault);
}
