using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>Reads the guild's settings before the first request and then every minute, for changes made on another node.</summary>
internal sealed partial class GuildDefaultsJob(
    IDbContextFactory<GuildDbContext> databases, GuildDefaults defaults, GuildYardage yardage, TimeProvider clock, ILogger<GuildDefaultsJob> log) : BackgroundService
{
    private static readonly TimeSpan s_interval = TimeSpan.FromMinutes(1);

    public override async Task StartAsync(CancellationToken cancellationToken)
    {
        await ReadAsync(cancellationToken);
        await base.StartAsync(cancellationToken);
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using PeriodicTimer timer = new(s_interval, clock);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            await ReadAsync(stoppingToken);
        }
    }

    /// <remarks>Whatever goes wrong is written down and the next minute comes, as in every job here: one that ended would end the program.</remarks>
    private async Task ReadAsync(CancellationToken cancellation)
    {
        try
        {
            await using GuildDbContext database = await databases.CreateDbContextAsync(cancellation);
            if (await database.Guilds.AsNoTracking().SingleOrDefaultAsync(cancellation) is { } guild)
            {
                defaults.Set(guild);
            }

            await yardage.ReadAsync(database, cancellation);
        }
        catch (Exception fault) when (!cancellation.IsCancellationRequested)
        {
            LogUnread(fault);
        }
    }

    [LoggerMessage(LogLevel.Warning, "The guild's zone, culture, unit and table could not be read; the last ones stay in use.")]
    private partial void LogUnread(Exception fault);
}
