using GuildStash.Data.Guild;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Days and times as the guild's wall clock shows them.</summary>
public static class GuildClock
{
    public static TimeZoneInfo Zone(GuildSettings guild) =>
        TimeZoneInfo.TryFindSystemTimeZoneById(guild.TimeZone, out TimeZoneInfo? zone) ? zone : TimeZoneInfo.Utc;

    public static DateOnly Today(GuildSettings guild, DateTimeOffset now) =>
        DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, Zone(guild)).DateTime);
}
