namespace GuildStash.Data.SafeKeeping;

/// <summary>When the nightly back-up is due: at three in the morning by the guild's clock, when a room is empty and a day is whole.</summary>
public static class BackupSchedule
{
    /// <summary>A last back-up older than this was missed, for instance because the machine was off at night.</summary>
    public static readonly TimeSpan Missed = TimeSpan.FromHours(26);

    /// <summary>A last back-up older than this is worth a warning.</summary>
    public static readonly TimeSpan Worrying = TimeSpan.FromDays(2);

    /// <summary>Pause after a back-up that failed.</summary>
    public static readonly TimeSpan Again = TimeSpan.FromHours(1);

    private const int Hour = 3;

    /// <summary>The first back-up of a program that has just started: at once when one was missed, else the coming night.</summary>
    /// <param name="last">When the last one was made; null: never.</param>
    public static DateTimeOffset FirstAt(DateTimeOffset now, DateTimeOffset? last, TimeZoneInfo zone) =>
        last is { } made && now - made <= Missed ? NextAt(now, zone) : now;

    /// <summary>The next night's moment after now.</summary>
    public static DateTimeOffset NextAt(DateTimeOffset now, TimeZoneInfo zone)
    {
        DateTime today = TimeZoneInfo.ConvertTime(now, zone).Date;
        DateTimeOffset at = Of(today, zone);
        return at > now ? at : Of(today.AddDays(1), zone);
    }

    private static DateTimeOffset Of(DateTime day, TimeZoneInfo zone)
    {
        DateTime wall = day.AddHours(Hour);

        // Where the clocks go forward over three, the night's moment is when they have arrived.
        while (zone.IsInvalidTime(wall))
        {
            wall = wall.AddMinutes(30);
        }

        return new DateTimeOffset(wall, zone.GetUtcOffset(wall));
    }
}
