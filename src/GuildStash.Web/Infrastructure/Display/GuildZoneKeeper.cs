using GuildStash.Data;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// Keeps <see cref="GuildZone"/> at the guild's setting. It is read again at most once a minute, since another node or an admin
/// command may have changed it.
/// </summary>
public sealed partial class GuildZoneKeeper(GuildZone zone, IDbContextFactory<GuildDbContext> contexts, TimeProvider clock, ILogger<GuildZoneKeeper> logger)
{
    public static readonly TimeSpan KeptFor = TimeSpan.FromMinutes(1);

    private long _readAgainAt;

    /// <summary>While the database does not answer, the zone known last stays.</summary>
    public async ValueTask KeepAsync(CancellationToken cancellation)
    {
        long now = clock.GetUtcNow().UtcTicks;
        long due = Interlocked.Read(ref _readAgainAt);
        if (now < due || Interlocked.CompareExchange(ref _readAgainAt, now + KeptFor.Ticks, due) != due)
        {
            return;
        }

        try
        {
            await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
            if (await db.Guilds.Select(g => g.TimeZone).SingleOrDefaultAsync(cancellation) is { } id)
            {
                zone.Set(id);
            }
        }
        catch (Exception exception) when (exception is not OperationCanceledException)
        {
            LogUnread(exception);
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "The guild's time zone could not be read; the one known last is used.")]
    private partial void LogUnread(Exception exception);
}
