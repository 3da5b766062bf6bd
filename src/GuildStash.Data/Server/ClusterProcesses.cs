using System.Globalization;

namespace GuildStash.Data.Server;

/// <summary>Which processes work on a cluster, from /proc (Linux manual pages, proc(5)).</summary>
internal static class ClusterProcesses
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    /// <summary>Whether a process exists and is more than a zombie that nobody has waited for.</summary>
    public static bool IsAlive(int process)
    {
        var state = StateOf(process);
        return state is not null and not 'Z' and not 'X';
    }

    /// <summary>Whether a process is a live PostgreSQL process of this cluster. One that may not be looked into counts as such.</summary>
    public static bool WorksOn(int process, ServerFolders folders)
    {
        if (!IsAlive(process) || TextOf(process, "comm")?.Trim() != "postgres")
        {
            return false;
        }

        // Every PostgreSQL process has its cluster as the current folder. Where a container lacks the right to look (root
        // without CAP_SYS_PTRACE), the owner decides: too careful rather than two servers on one cluster.
        return PosixCalls.IdentityOf($"/proc/{process}/cwd") is { } workplace
            ? workplace == PosixCalls.IdentityOf(folders.Cluster)
            : PosixCalls.OwnerOf($"/proc/{process}")?.User == PosixCalls.OwnerOf(folders.Cluster)?.User;
    }

    /// <summary>
    /// Clears what a server that died has left. PostgreSQL does so itself unless the old process number is still taken, by
    /// a zombie or, after a reboot, by some other program: then its file must go, but only once no process works here.
    /// </summary>
    /// <exception cref="ServerStartException">Processes of the dead server do not end.</exception>
    public static async Task ClearRemainsAsync(PostmasterFile left, ServerFolders folders, CancellationToken cancellation)
    {
        var deadline = DateTime.UtcNow + Patience;
        while (Working(folders).FirstOrDefault() is var busy and not 0)
        {
            if (DateTime.UtcNow > deadline)
            {
                throw new ServerStartException(
                    $"Process {busy} of an earlier database server still works in {folders.Cluster}: end it with kill {busy} and start again.");
            }

            await Task.Delay(50, cancellation).ConfigureAwait(false);
        }

        if (StateOf(left.ProcessId) is not null)
        {
            File.Delete(folders.PostmasterFile);
            File.Delete(Path.Combine(left.SocketFolder, ".s.PGSQL.5432.lock"));
            File.Delete(Path.Combine(left.SocketFolder, ".s.PGSQL.5432"));
        }
    }

    private static IEnumerable<int> Working(ServerFolders folders) =>
        Directory.EnumerateDirectories("/proc")
            .Select(Path.GetFileName)
            .Select(name => int.TryParse(name, CultureInfo.InvariantCulture, out var process) ? process : 0)
            .Where(process => process != 0 && WorksOn(process, folders));

    private static char? StateOf(int process)
    {
        // The program's name stands in brackets and may hold any character, so the state is what follows the last bracket.
        var line = TextOf(process, "stat");
        var end = line?.LastIndexOf(')') ?? -1;
        return end >= 0 && end + 2 < line!.Length ? line[end + 2] : null;
    }

    private static string? TextOf(int process, string file)
    {
        try
        {
            return File.ReadAllText(string.Create(CultureInfo.InvariantCulture, $"/proc/{process}/{file}"));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
