using GuildStash.Data;
using GuildStash.Data.SafeKeeping;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.Planning;

/// <summary>
/// Runs waiting plans in the background, on one node at a time: whose session holds the lock. A session ends with its program, so that
/// whoever gets the lock next knows that a plan still marked as running is nobody's.
/// </summary>
public sealed partial class PlanJob(
    PlanRunner runner, NightlyWanted nightly, IDbContextFactory<GuildDbContext> contexts, AppSettings settings, GuildDefaults guild, TimeProvider clock, ILogger<PlanJob> log) : BackgroundService
{
    private const long JobLock = 0x4755494C44535441;

    /// <summary>Looked at anew without being told, for another node's end and for the coming night.</summary>
    private static readonly TimeSpan s_interval = TimeSpan.FromSeconds(30);

    private static readonly TimeSpan s_pause = TimeSpan.FromSeconds(5);

    private DateTimeOffset _nextNight = DateTimeOffset.MaxValue;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        _nextNight = BackupSchedule.NextAt(clock.GetUtcNow(), guild.Zone);
        while (true)
        {
            try
            {
                await ListenAsync(stoppingToken);
            }
            catch (Exception fault) when (!stoppingToken.IsCancellationRequested)
            {
                LogAway(fault);
            }

            await Task.Delay(s_pause, clock, stoppingToken);
        }
    }

    private async Task ListenAsync(CancellationToken cancellation)
    {
        // A session of its own: it listens, and holds the lock while plans run.
        await using NpgsqlConnection session = new(new NpgsqlConnectionStringBuilder(GuildDatabase.ForShortQuestions(settings.AppConnection)) { Pooling = false, KeepAlive = 30 }.ConnectionString);
        bool isTold = false;
        session.Notification += (_, _) => isTold = true;
        await session.OpenAsync(cancellation);
        await ExecuteAsync(session, $"listen {AskPlan.Channel}", cancellation);
        while (true)
        {
            isTold = false;
            await RoundAsync(session, cancellation);
            if (!isTold)
            {
                await session.WaitAsync(s_interval, cancellation);
            }
        }
    }

    /// <summary>Everything that waits, unless another node is at it.</summary>
    private async Task RoundAsync(NpgsqlConnection session, CancellationToken cancellation)
    {
        if (await ExecuteAsync(session, $"select pg_try_advisory_lock({JobLock})", cancellation) is not true)
        {
            return;
        }

        try
        {
            await NightAsync(cancellation);
            if (await runner.EndLeftAsync(cancellation) is > 0 and int left)
            {
                LogLeft(left);
            }

            while (await runner.RunNextAsync(cancellation))
            {
                // A session that is gone has lost the lock: another node may run plans now.
                await ExecuteAsync(session, "select true", cancellation);
            }
        }
        finally
        {
            if (session.State == System.Data.ConnectionState.Open && !cancellation.IsCancellationRequested)
            {
                await ExecuteAsync(session, $"select pg_advisory_unlock({JobLock})", cancellation);
            }
        }
    }

    private async Task NightAsync(CancellationToken cancellation)
    {
        DateTimeOffset now = clock.GetUtcNow();
        if (now >= _nextNight)
        {
            await nightly.AskAsync(contexts, _nextNight.ToUniversalTime(), cancellation);
            _nextNight = BackupSchedule.NextAt(now, guild.Zone);
        }
    }

    private static async Task<object?> ExecuteAsync(NpgsqlConnection session, string statement, CancellationToken cancellation)
    {
        await using NpgsqlCommand command = new(statement, session);
        return await command.ExecuteScalarAsync(cancellation);
    }

    [LoggerMessage(LogLevel.Warning, "The database does not answer, so waiting plans wait a little longer")]
    private partial void LogAway(Exception fault);

    [LoggerMessage(LogLevel.Information, "{Plans} plans were left by a run that is gone; their best answers stay")]
    private partial void LogLeft(int plans);
}
