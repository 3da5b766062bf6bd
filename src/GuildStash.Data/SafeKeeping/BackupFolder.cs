using System.Globalization;

namespace GuildStash.Data.SafeKeeping;

/// <summary>One archive of the folder of back-ups.</summary>
/// <param name="Size">In bytes.</param>
public sealed record BackupFile(string Path, DateTimeOffset MadeAt, long Size);

/// <summary>Which back-ups are kept: the newest of each of the last days, weeks and months that have one.</summary>
public static class BackupRotation
{
    public const int Days = 7;
    public const int Weeks = 5;
    public const int Months = 12;

    /// <summary>
    /// Periods without a back-up don't count, so that a guild that stopped making them loses none. Weeks begin on Monday (ISO 8601).
    /// </summary>
    /// <param name="zone">Zone in which days begin.</param>
    /// <returns>Those that may go.</returns>
    public static IReadOnlyList<BackupFile> ToRemove(IReadOnlyList<BackupFile> files, TimeZoneInfo zone)
    {
        HashSet<BackupFile> kept =
        [
            .. Newest(files, zone, day => day.DayNumber, Days),
            .. Newest(files, zone, day => (ISOWeek.GetYear(day) * 100) + ISOWeek.GetWeekOfYear(day), Weeks),
            .. Newest(files, zone, day => (day.Year * 12) + day.Month, Months),
        ];
        return [.. files.Where(f => !kept.Contains(f))];
    }

    private static IEnumerable<BackupFile> Newest(IReadOnlyList<BackupFile> files, TimeZoneInfo zone, Func<DateOnly, int> period, int count) =>
        files.GroupBy(f => period(DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(f.MadeAt, zone).DateTime)))
            .OrderByDescending(g => g.Key).Take(count).Select(g => g.MaxBy(f => f.MadeAt)!);
}

/// <summary>The folder of the nightly back-ups. Files that have not the name of one are never touched.</summary>
public static class BackupFolder
{
    private const string Before = "guildstash-";
    private const string Ending = ".zip";
    private const string Moment = "yyyyMMdd'T'HHmmss'Z'";

    private static readonly TimeSpan Abandoned = TimeSpan.FromDays(1);

    public static string NameOf(DateTimeOffset moment) => Before + moment.UtcDateTime.ToString(Moment, CultureInfo.InvariantCulture) + Ending;

    /// <summary>The back-ups, the newest first; none where there is no such folder.</summary>
    /// <exception cref="SafeKeepingException">The folder can't be read.</exception>
    public static IReadOnlyList<BackupFile> List(string folder)
    {
        try
        {
            return !Directory.Exists(folder) ? [] :
            [
                .. new DirectoryInfo(folder).EnumerateFiles(Before + "*" + Ending)
                    .Select(file => (File: file, At: MomentOf(file.Name))).Where(f => f.At is not null)
                    .Select(f => new BackupFile(f.File.FullName, f.At!.Value, f.File.Length)).OrderByDescending(f => f.MadeAt),
            ];
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new SafeKeepingException($"The folder of the back-ups {folder} can't be read: {fault.Message}", fault);
        }
    }

    /// <summary>Makes the folder, for its owner alone, when it is missing.</summary>
    /// <exception cref="SafeKeepingException">It can't be made.</exception>
    public static void Prepare(string folder)
    {
        try
        {
            if (OperatingSystem.IsWindows())
            {
                Directory.CreateDirectory(folder);
            }
            else if (!Directory.Exists(folder))
            {
                Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
            }
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new SafeKeepingException($"The folder of the back-ups {folder} can't be made: {fault.Message}", fault);
        }
    }

    /// <summary>Removes what the rotation does not keep, and what a back-up that was cut off left behind a day ago.</summary>
    /// <exception cref="SafeKeepingException">A file can't be removed.</exception>
    public static void Rotate(string folder, TimeZoneInfo zone)
    {
        try
        {
            foreach (BackupFile file in BackupRotation.ToRemove(List(folder), zone))
            {
                File.Delete(file.Path);
            }

            foreach (FileInfo left in new DirectoryInfo(folder).EnumerateFiles($".{Before}*{SafeFile.Unfinished}").Where(f => DateTime.UtcNow - f.LastWriteTimeUtc > Abandoned))
            {
                left.Delete();
            }
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new SafeKeepingException($"Old back-ups in {folder} can't be removed: {fault.Message}", fault);
        }
    }

    private static DateTimeOffset? MomentOf(string name) =>
        DateTimeOffset.TryParseExact(
            name[Before.Length..^Ending.Length], Moment, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out DateTimeOffset moment)
            ? moment
            : null;
}
