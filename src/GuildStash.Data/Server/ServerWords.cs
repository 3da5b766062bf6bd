namespace GuildStash.Data.Server;

/// <summary>
/// Why a server ended, in its own words: from its standard error as long as it has not opened its log, else from the log.
/// </summary>
internal sealed class ServerWords
{
    private const int MostLines = 50;
    private const int LinesTold = 3;

    // Severities of a server log line, and the two programs that put the server under its user and session.
    private static readonly string[] Severities = ["PANIC:", "FATAL:", "ERROR:", "LOG:"];
    private static readonly string[] Starters = ["setpriv:", "setsid:"];

    private readonly Queue<string> _first = new();

    /// <summary>Remembers a line of the server's first output; null marks its end.</summary>
    public void Add(string? line)
    {
        lock (_first)
        {
            if (line is not null && _first.Count < MostLines)
            {
                _first.Enqueue(line);
            }
        }
    }

    public string Reason(ServerFolders folders)
    {
        List<string> first;
        lock (_first)
        {
            first = [.. _first];
        }

        // The line before a FATAL one often holds the cause, for instance the setting that is out of range.
        var told = first.Where(line => Severities.Concat(Starters).Any(word => line.Contains(word, StringComparison.Ordinal)))
            .Where(line => !line.Contains("redirecting log output", StringComparison.Ordinal))
            .TakeLast(LinesTold)
            .Select(WithoutTime)
            .ToList();
        return told.Count > 0 ? string.Join("; ", told) : LastComplaint(folders) ?? "it gave no reason";
    }

    private static string? LastComplaint(ServerFolders folders)
    {
        try
        {
            var newest = new DirectoryInfo(folders.Log).EnumerateFiles().MaxBy(file => file.LastWriteTimeUtc);
            var line = newest is null ? null : File.ReadLines(newest.FullName).LastOrDefault(text =>
                text.Contains("FATAL:", StringComparison.Ordinal) || text.Contains("PANIC:", StringComparison.Ordinal));
            return line is null ? null : WithoutTime(line);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private static string WithoutTime(string line)
    {
        var start = Severities.Select(word => line.IndexOf(word, StringComparison.Ordinal)).Where(at => at >= 0).DefaultIfEmpty(0).Min();
        return line[start..].Replace("  ", " ", StringComparison.Ordinal);
    }
}
