using System.Security.Cryptography;
using System.Text;

namespace GuildStash.Data.Server;

/// <summary>The embedded server's files below the app's data folder.</summary>
/// <param name="Root">The app's data folder, absolute.</param>
public sealed record ServerFolders(string Root)
{
    /// <summary>
    /// sun_path holds 108 bytes with the closing zero (Linux manual pages, unix(7)).
    /// </summary>
    public const int LongestSocketPath = 107;

    /// <summary>With listen_addresses empty the port only names the socket file.</summary>
    public const int Port = 5432;

    /// <summary>PostgreSQL's own data folder.</summary>
    public string Cluster => Path.Combine(Root, "pg");

    /// <summary>The server's log, one file a weekday.</summary>
    public string Log => Path.Combine(Cluster, "log");

    /// <summary>Where initdb works; renamed to <see cref="Cluster"/> when complete, so that whatever is found here is waste.</summary>
    public string UnfinishedCluster => Path.Combine(Root, "pg.unfinished");

    /// <summary>Passwords in libpq's password file format, so that psql and pg_dump can use the same file.</summary>
    public string PasswordFile => Path.Combine(Root, "pg.pass");

    /// <summary>Held open and locked by the one app that works on this folder.</summary>
    public string LockFile => Path.Combine(Root, "guildstash.lock");

    /// <summary>The number of the process that holds the lock, for the sentence that refuses a second start.</summary>
    public string HolderFile => Path.Combine(Root, "guildstash.pid");

    public string PostmasterFile => Path.Combine(Cluster, "postmaster.pid");

    public string VersionFile => Path.Combine(Cluster, "PG_VERSION");

    /// <summary>
    /// The folder of the Unix socket: "run" below the data folder, or, where that path would be too long for a socket, a
    /// folder in the system's temporary folder named after a hash of the data folder.
    /// </summary>
    public string SocketFolder
    {
        get
        {
            var near = Path.Combine(Root, "run");
            if (SocketPathLength(near) <= LongestSocketPath)
            {
                return near;
            }

            var hash = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Root)))[..16];
            return Path.Combine("/tmp", "guildstash-" + hash);
        }
    }

    public static ServerFolders For(string dataDirectory) =>
        new(Path.TrimEndingDirectorySeparator(Path.GetFullPath(dataDirectory)));

    /// <summary>Length in bytes of the longest socket file name that PostgreSQL makes in a folder, its lock file not counted.</summary>
    public static int SocketPathLength(string folder) =>
        Encoding.UTF8.GetByteCount(Path.Combine(folder, ".s.PGSQL.5432"));

    /// <summary>Makes the data folder when it is missing and checks that this process may write in it.</summary>
    /// <exception cref="ServerStartException">The folder cannot be made or written.</exception>
    public void Prepare()
    {
        try
        {
            if (!Directory.Exists(Root))
            {
                Directory.CreateDirectory(Root, ModeOfRoot);
            }

            var probe = Path.Combine(Root, $".write-test-{Environment.ProcessId}");
            using (File.Create(probe, 1, FileOptions.DeleteOnClose))
            {
            }
        }
        catch (Exception fault) when (fault is UnauthorizedAccessException or IOException)
        {
            throw new ServerStartException(
                $"The data folder {Root} cannot be written by user {Environment.UserName}: give that user the folder, or choose another with --data DIR.",
                fault);
        }
    }

    /// <summary>When root starts the app, the server's user must pass through to its own folder, but sees no names.</summary>
    private static UnixFileMode ModeOfRoot => PosixCalls.IsRoot
        ? OwnerOnly | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute
        : OwnerOnly;

    internal const UnixFileMode OwnerOnly =
        UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute;
}
