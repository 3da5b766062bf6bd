using System.Globalization;

namespace GuildStash.Data.Tests.Server;

/// <summary>TCP sockets on which a process listens, from /proc (proc(5)): independent of what the server says of itself.</summary>
internal static class NetworkListeners
{
    private const string Listening = "0A";

    public static IReadOnlyList<string> Of(int process)
    {
        var sockets = Directory.EnumerateFiles(string.Create(CultureInfo.InvariantCulture, $"/proc/{process}/fd"))
            .Select(file => File.ResolveLinkTarget(file, returnFinalTarget: false)?.Name ?? "")
            .Where(target => target.StartsWith("socket:[", StringComparison.Ordinal))
            .Select(target => target["socket:[".Length..^1])
            .ToHashSet();
        Assert.NotEmpty(sockets);
        return
        [
            .. new[] { "/proc/net/tcp", "/proc/net/tcp6" }
                .Where(File.Exists)
                .SelectMany(table => File.ReadLines(table).Skip(1))
                .Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
                .Where(fields => fields[3] == Listening && sockets.Contains(fields[9]))
                .Select(fields => fields[1]),
        ];
    }
}
