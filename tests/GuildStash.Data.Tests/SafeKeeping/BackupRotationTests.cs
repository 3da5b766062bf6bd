using System.Globalization;
using GuildStash.Data.SafeKeeping;

namespace GuildStash.Data.Tests.SafeKeeping;

public sealed class BackupRotationTests
{
    private static readonly TimeZoneInfo London = TimeZoneInfo.FindSystemTimeZoneById("Europe/London");

    [Fact]
    public void Remove_WhenOneIsMadeEveryNight_SevenDaysFiveWeeksAndTwelveMonthsStay()
    {
        // As it happens in a guild: after every night's back-up the rotation runs.
        List<BackupFile> there = [];
        for (DateTimeOffset night = At("2025-01-01T03:00Z"); night <= At("2026-11-25T03:00Z"); night = night.AddDays(1))
        {
            there.Add(File(night));
            IReadOnlyList<BackupFile> gone = BackupRotation.ToRemove(there, London);
            there.RemoveAll(gone.Contains);
        }

        // Computed by hand with a calendar: 25 November 2026 is a Wednesday; Sundays end the weeks.
        string[] days = ["2026-11-25", "2026-11-24", "2026-11-23", "2026-11-22", "2026-11-21", "2026-11-20", "2026-11-19"];
        string[] weeks = ["2026-11-15", "2026-11-08", "2026-11-01"];
        string[] months = ["2026-10-31", "2026-09-30", "2026-08-31", "2026-07-31", "2026-06-30", "2026-05-31", "2026-04-30", "2026-03-31", "2026-02-28", "2026-01-31", "2025-12-31"];
        Assert.Equal(days.Concat(weeks).Concat(months).Order(), there.Select(f => f.MadeAt.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)).Order());
    }

    [Fact]
    public void Remove_WhenSeveralAreOfOneDay_TheNewestStays()
    {
        BackupFile night = File(At("2026-11-25T03:00Z")), noon = File(At("2026-11-25T12:00Z")), evening = File(At("2026-11-25T20:00Z"));

        Assert.Equal([night, noon], BackupRotation.ToRemove([night, evening, noon], London));
    }

    [Fact]
    public void Remove_WhenDaysBeginInTheGuildsZone_MidnightThereParts()
    {
        // 23:30 and 00:30 in London's summer are 22:30 and 23:30 UTC of one day.
        BackupFile before = File(At("2026-07-01T22:30Z")), after = File(At("2026-07-01T23:30Z"));

        Assert.Empty(BackupRotation.ToRemove([before, after], London));
        Assert.Equal([before], BackupRotation.ToRemove([before, after], TimeZoneInfo.Utc));
    }

    [Fact]
    public void Remove_WhenBackUpsStoppedLongAgo_TheLastOnesStay()
    {
        List<BackupFile> old = [.. Enumerable.Range(0, 7).Select(day => File(At("2020-03-02T03:00Z").AddDays(day)))];

        Assert.Empty(BackupRotation.ToRemove(old, London));
        Assert.Empty(BackupRotation.ToRemove([], London));
    }

    [Fact]
    public void Rotate_WhenOtherFilesLieThere_TheyAreLeftAlone()
    {
        DirectoryInfo folder = Directory.CreateTempSubdirectory("gs-rotate-");
        try
        {
            DateTimeOffset now = At("2026-11-25T03:00Z");
            string[] names = [BackupFolder.NameOf(now), BackupFolder.NameOf(now.AddHours(-1)), "guildstash-by-hand.zip", "photo.jpg"];
            Assert.All(names, name => System.IO.File.WriteAllText(Path.Combine(folder.FullName, name), "x"));

            BackupFolder.Rotate(folder.FullName, TimeZoneInfo.Utc);

            Assert.Equal(new[] { names[0], names[2], names[3] }.Order(), folder.GetFiles().Select(f => f.Name).Order());
            Assert.Equal([now], BackupFolder.List(folder.FullName).Select(f => f.MadeAt));
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static BackupFile File(DateTimeOffset at) => new(BackupFolder.NameOf(at), at, 1000);

    private static DateTimeOffset At(string moment) => DateTimeOffset.Parse(moment, CultureInfo.InvariantCulture);
}
