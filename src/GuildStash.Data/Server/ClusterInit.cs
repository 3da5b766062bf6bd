using System.Globalization;

namespace GuildStash.Data.Server;

/// <summary>Makes a new cluster, whole or not at all, and recognises one that is neither new nor whole.</summary>
internal static class ClusterInit
{
    /// <summary>The major version that the cluster was made with; null when there is no cluster yet.</summary>
    /// <exception cref="ServerStartException">The folder holds something else than a whole cluster.</exception>
    public static int? PinnedMajor(ServerFolders folders)
    {
        if (!Directory.Exists(folders.Cluster))
        {
            return null;
        }

        try
        {
            if (!Directory.EnumerateFileSystemEntries(folders.Cluster).Any())
            {
                Directory.Delete(folders.Cluster);
                return null;
            }

            if (File.Exists(folders.VersionFile)
                && File.Exists(Path.Combine(folders.Cluster, "global", "pg_control"))
                && int.TryParse(File.ReadAllText(folders.VersionFile).Trim(), CultureInfo.InvariantCulture, out var major))
            {
                return major;
            }
        }
        catch (UnauthorizedAccessException fault)
        {
            throw new ServerStartException(
                $"The database folder {folders.Cluster} cannot be read by user {Environment.UserName}: start as the user who started GuildStash first.",
                fault);
        }

        throw new ServerStartException(
            $"The database folder {folders.Cluster} is only half made (PG_VERSION or global/pg_control is missing): move it away to begin anew, or put it back from a back-up.");
    }

    /// <summary>
    /// Runs initdb beside the final folder and renames it. An earlier unfinished folder was never started, so it holds
    /// nothing of value and is removed.
    /// </summary>
    /// <exception cref="ServerStartException">initdb failed; the sentence carries its reason.</exception>
    public static void Create(
        ServerFolders folders, ServerPrograms programs, ServerUser user, ServerCredentials credentials, bool durable)
    {
        var passwordFile = folders.UnfinishedCluster + ".pass";
        RemoveUnfinished(folders, passwordFile);
        Directory.CreateDirectory(folders.UnfinishedCluster, ServerFolders.OwnerOnly);
        user.Own(folders.UnfinishedCluster);
        ServerCredentials.WritePrivate(passwordFile, credentials.PasswordOf(ServerCredentials.Superuser) + "\n");
        user.Own(passwordFile);
        try
        {
            var (program, arguments) = user.Prefix(programs.InitDb, Arguments(folders, passwordFile, durable));
            var outcome = ServerCommand.Run(program, arguments);
            if (outcome.ExitCode != 0)
            {
                throw new ServerStartException(
                    $"A new database could not be made in {folders.Root}: {LastLine(outcome.Errors)}");
            }
        }
        finally
        {
            File.Delete(passwordFile);
        }

        Directory.Move(folders.UnfinishedCluster, folders.Cluster);
    }

    /// <summary>
    /// Order and letter case by bytes, so that a new C library never changes an index; pages ask for a language's order
    /// where people read a list. Checksums find a page that the disk has damaged.
    /// </summary>
    private static List<string> Arguments(ServerFolders folders, string passwordFile, bool durable) =>
    [
        "--pgdata=" + folders.UnfinishedCluster,
        "--username=" + ServerCredentials.Superuser,
        "--pwfile=" + passwordFile,
        "--auth=scram-sha-256",
        "--encoding=UTF8",
        "--locale=C",
        "--lc-ctype=C.UTF-8",
        "--data-checksums",
        .. durable ? Array.Empty<string>() : ["--no-sync"],
    ];

    private static void RemoveUnfinished(ServerFolders folders, string passwordFile)
    {
        try
        {
            File.Delete(passwordFile);
            if (Directory.Exists(folders.UnfinishedCluster))
            {
                Directory.Delete(folders.UnfinishedCluster, recursive: true);
            }
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new ServerStartException(
                $"The half-made database folder {folders.UnfinishedCluster} of an interrupted start could not be removed: remove it and start again.",
                fault);
        }
    }

    private static string LastLine(string text) =>
        text.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .LastOrDefault(line => line.Contains("error:", StringComparison.Ordinal) || line.Contains("FATAL", StringComparison.Ordinal))
        ?? text.Trim();
}
