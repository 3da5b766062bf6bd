using System.Globalization;
using GuildStash.Data.SafeKeeping;

namespace GuildStash.Data.Tests.SafeKeeping;

public sealed class BackupScheduleTests
{
    [Theory]
    [InlineData("Europe/London", "2026-11-25T02:59Z", "2026-11-25T03:00Z")]
    [InlineData("Europe/London", "2026-11-25T03:00Z", "2026-11-26T03:00Z")]
    [InlineData("Europe/London", "2026-07-01T12:00Z", "2026-07-02T02:00Z")]
    [InlineData("America/New_York", "2026-11-25T07:00Z", "2026-11-25T08:00Z")]
    [InlineData("Pacific/Auckland", "2026-11-25T15:00Z", "2026-11-26T14:00Z")]
    public void Next_IsThreeInTheMorningByTheGuildsClock(string zone, string now, string expected) =>
        Assert.Equal(At(expected), BackupSchedule.NextAt(At(now), TimeZoneInfo.FindSystemTimeZoneById(zone)));

    [Fact]
    public void Next_WhenTheClocksChange_ComesOnceANight()
    {
        // Zurich, 2026: forward on 29 March at 01:00 UTC, back on 25 October at 01:00 UTC (tz database).
        TimeZoneInfo zurich = TimeZoneInfo.FindSystemTimeZoneById("Europe/Zurich");
        Assert.Equal(At("2026-03-29T01:00Z"), BackupSchedule.NextAt(At("2026-03-28T12:00Z"), zurich));
        Assert.Equal(At("2026-10-25T02:00Z"), BackupSchedule.NextAt(At("2026-10-24T12:00Z"), zurich));
        DateTimeOffset at = At("2026-01-01T12:00Z");
        for (int night = 0; night < 365; night++)
        {
            DateTimeOffset next = BackupSchedule.NextAt(at, zurich);
            Assert.InRange((next - at).TotalHours, night == 0 ? 1 : 23, 25);
            at = next;
        }
    }

    [Theory]
    [InlineData(null, true)]
    [InlineData("2026-11-24T03:00Z", true)]
    [InlineData("2026-11-25T03:00Z", false)]
    [InlineData("2026-11-24T10:01Z", false)]
    [InlineData("2026-11-24T09:59Z", true)]
    public void First_WhenOneWasMissed_IsNow(string? last, bool atOnce)
    {
        DateTimeOffset now = At("2026-11-25T12:00Z");

        DateTimeOffset first = BackupSchedule.FirstAt(now, last is null ? null : At(last), TimeZoneInfo.Utc);

        Assert.Equal(atOnce ? now : At("2026-11-26T03:00Z"), first);
    }

    private static DateTimeOffset At(string moment) => DateTimeOffset.Parse(moment, CultureInfo.InvariantCulture);
}
