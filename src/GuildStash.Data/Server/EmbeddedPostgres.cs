using Npgsql;

namespace GuildStash.Data.Server;

/// <summary>
/// A private PostgreSQL server in the app's data folder, reached by a Unix socket only. Disposing stops it, unless this
/// object was attached to a server that another process of the app keeps.
/// </summary>
public sealed class EmbeddedPostgres : IAsyncDisposable
{
    // Room is left for the owner, back-ups and psql within PostgreSQL's usual 100 connections.
    private const int AppPoolSize = 80;
    private const int LockAttempts = 4;

    private static readonly TimeSpan AdoptionPatience = TimeSpan.FromSeconds(15);
    private static readonly TimeSpan AttachPatience = TimeSpan.FromSeconds(30);

    private readonly ServerFolders _folders;
    private readonly ServerCredentials _credentials;
    private readonly PostmasterSupervisor? _supervisor;
    private readonly DataFolderLock? _lock;
    private readonly string _socketFolder;
    private int _disposed;

    private EmbeddedPostgres(
        ServerFolders folders,
        ServerCredentials credentials,
        string socketFolder,
        int majorVersion,
        PostmasterSupervisor? supervisor,
        DataFolderLock? folderLock)
    {
        (_folders, _credentials, _socketFolder, MajorVersion) = (folders, credentials, socketFolder, majorVersion);
        (_supervisor, _lock) = (supervisor, folderLock);
    }

    public int MajorVersion { get; }

    public ServerFolders Folders => _folders;

    /// <summary>The folder of the Unix socket, for psql and pg_dump.</summary>
    public string SocketFolder => _socketFolder;

    /// <summary>Whether this object only uses a server that another process keeps.</summary>
    public bool IsAttached => _supervisor is null;

    /// <summary>The present server process; it changes when the server had to be started again.</summary>
    public int ProcessId => _supervisor?.Current.ProcessId ?? PostmasterFile.Read(_folders)?.ProcessId ?? 0;

    /// <summary>Starts the server of a data folder, or adopts the one that a killed app has left running there.</summary>
    /// <exception cref="ServerStartException">It cannot be started; the message is one sentence for people.</exception>
    public static async Task<EmbeddedPostgres> StartAsync(EmbeddedPostgresOptions options, CancellationToken cancellation)
    {
        if (!OperatingSystem.IsLinux())
        {
            throw new ServerStartException("The embedded database server runs on Linux only: name a PostgreSQL server with --database.");
        }

        var folders = ServerFolders.For(options.DataDirectory);
        folders.Prepare();
        var folderLock = await TakeLockAsync(folders, cancellation).ConfigureAwait(false);
        try
        {
            return await StartLockedAsync(options, folders, folderLock, cancellation).ConfigureAwait(false);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            folderLock.Dispose();
            throw new ServerStartException($"The database server could not be started in {folders.Root}: {fault.Message}", fault);
        }
        catch
        {
            folderLock.Dispose();
            throw;
        }
    }

    /// <summary>Attaches to the server of an app that runs on this data folder.</summary>
    /// <returns>Null when no app runs there; the caller then starts the server for as long as it needs it.</returns>
    /// <exception cref="ServerStartException">An app runs there, but its server does not answer or belongs to another user.</exception>
    public static async Task<EmbeddedPostgres?> AttachAsync(string dataDirectory, CancellationToken cancellation = default)
    {
        var folders = ServerFolders.For(dataDirectory);
        if (!Directory.Exists(folders.Root))
        {
            return null;
        }

        var deadline = DateTime.UtcNow + AttachPatience;
        while (true)
        {
            if (DataFolderLock.IsFree(folders))
            {
                return null;
            }

            if (PostmasterFile.Read(folders) is { IsReady: true } file && ClusterProcesses.IsAlive(file.ProcessId))
            {
                var credentials = ServerCredentials.Read(folders);
                var superuser = Superuser(file.SocketFolder, credentials);
                await Postmaster.Adopt(file).WaitUntilReadyAsync(folders, superuser, AttachPatience, cancellation).ConfigureAwait(false);
                var major = ClusterInit.PinnedMajor(folders) ?? 0;
                return new EmbeddedPostgres(folders, credentials, file.SocketFolder, major, null, null);
            }

            if (DateTime.UtcNow > deadline)
            {
                throw new ServerStartException(
                    $"GuildStash{Holder(folders)} works on the data folder {folders.Root}, but its database server does not answer.");
            }

            await Task.Delay(100, cancellation).ConfigureAwait(false);
        }
    }

    /// <summary>Whether a server has ever been made in this data folder.</summary>
    /// <exception cref="ServerStartException">The folder holds something else than a whole cluster.</exception>
    public static bool HasCluster(string dataDirectory) => ClusterInit.PinnedMajor(ServerFolders.For(dataDirectory)) is not null;

    /// <summary>The major version that a start in this data folder would use; nothing is made or started.</summary>
    /// <exception cref="ServerStartException">No installed version fits.</exception>
    public static int MajorFor(string dataDirectory)
    {
        var folders = ServerFolders.For(dataDirectory);
        return ServerPrograms.Find(ClusterInit.PinnedMajor(folders), folders.Cluster).Major;
    }

    /// <summary>Connection of the role that owns the database: migrations, restore.</summary>
    public string OwnerConnectionString(string database = ServerRoles.Database) =>
        Connection(_socketFolder, database, ServerCredentials.Owner, _credentials).ConnectionString;

    /// <summary>Connection of the running app's lesser role.</summary>
    public string AppConnectionString(string database = ServerRoles.Database)
    {
        var connection = Connection(_socketFolder, database, ServerCredentials.App, _credentials);
        connection.MaxPoolSize = AppPoolSize;
        return connection.ConnectionString;
    }

    /// <summary>Connection of initdb's first role; tests use it to drop databases with open sessions.</summary>
    internal string SuperuserConnectionString() => Superuser(_socketFolder, _credentials);

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0)
        {
            return;
        }

        if (_supervisor is not null)
        {
            await _supervisor.StopAsync().ConfigureAwait(false);
        }

        _lock?.Dispose();
    }

    private static async Task<EmbeddedPostgres> StartLockedAsync(
        EmbeddedPostgresOptions options, ServerFolders folders, DataFolderLock folderLock, CancellationToken cancellation)
    {
        var pinned = ClusterInit.PinnedMajor(folders);
        var programs = ServerPrograms.Find(pinned, folders.Cluster);
        var user = ServerUser.For(folders);
        user.CheckWayTo(folders.Root);
        var credentials = pinned is null ? ServerCredentials.ReadOrCreate(folders) : ServerCredentials.Read(folders);
        if (pinned is null)
        {
            ClusterInit.Create(folders, programs, user, credentials, options.Durable);
        }

        Task<Postmaster> Launch(CancellationToken token) => LaunchAsync(folders, programs, user, options, token);
        Task WaitUntilReady(Postmaster postmaster, CancellationToken token) => postmaster.WaitUntilReadyAsync(
            folders, Superuser(postmaster.SocketFolder, credentials), options.StartTimeout, token);

        var postmaster = await AdoptAsync(folders, credentials, options, cancellation).ConfigureAwait(false);
        if (postmaster is null)
        {
            postmaster = await Launch(cancellation).ConfigureAwait(false);
        }

        try
        {
            await WaitUntilReady(postmaster, cancellation).ConfigureAwait(false);
            await ServerRoles.EnsureAsync(Superuser(postmaster.SocketFolder, credentials), credentials, cancellation).ConfigureAwait(false);
        }
        catch
        {
            await postmaster.StopAsync(options.StopTimeout).ConfigureAwait(false);
            throw;
        }

        var supervisor = new PostmasterSupervisor(postmaster, Launch, WaitUntilReady, options.StopTimeout, options.Logger);
        return new EmbeddedPostgres(folders, credentials, postmaster.SocketFolder, programs.Major, supervisor, folderLock);
    }

    /// <summary>A server that runs on this folder while nobody holds the lock was left by a killed app.</summary>
    private static async Task<Postmaster?> AdoptAsync(
        ServerFolders folders, ServerCredentials credentials, EmbeddedPostgresOptions options, CancellationToken cancellation)
    {
        if (PostmasterFile.Read(folders) is not { } file || !ClusterProcesses.WorksOn(file.ProcessId, folders))
        {
            return null;
        }

        var orphan = Postmaster.Adopt(file);
        var socket = Path.Combine(file.SocketFolder, $".s.PGSQL.{ServerFolders.Port}");
        if (file.SocketFolder == folders.SocketFolder && File.Exists(socket) && file.Status != "stopping")
        {
            try
            {
                await orphan.WaitUntilReadyAsync(
                    folders, Superuser(file.SocketFolder, credentials), AdoptionPatience, cancellation).ConfigureAwait(false);
                return orphan;
            }
            catch (ServerStartException)
            {
                // It cannot be reached (its socket was removed, or it is just ending): only stopping it helps.
            }
        }

        await orphan.StopAsync(options.StopTimeout).ConfigureAwait(false);
        return null;
    }

    private static async Task<Postmaster> LaunchAsync(
        ServerFolders folders, ServerPrograms programs, ServerUser user, EmbeddedPostgresOptions options, CancellationToken cancellation)
    {
        if (PostmasterFile.Read(folders) is { } left)
        {
            await ClusterProcesses.ClearRemainsAsync(left, folders, cancellation).ConfigureAwait(false);
        }

        return Postmaster.Launch(folders, programs, user, options.Durable);
    }

    /// <summary>An admin command that looks whether an app runs holds the lock for a moment, so one refusal is not final.</summary>
    private static async Task<DataFolderLock> TakeLockAsync(ServerFolders folders, CancellationToken cancellation)
    {
        for (var attempt = 1; attempt < LockAttempts; attempt++)
        {
            if (DataFolderLock.TryTake(folders) is { } taken)
            {
                return taken;
            }

            await Task.Delay(50, cancellation).ConfigureAwait(false);
        }

        return DataFolderLock.TryTake(folders) ?? throw new ServerStartException(
            $"Another GuildStash{Holder(folders)} already works on the data folder {folders.Root}: stop it first, or choose another folder with --data DIR.");
    }

    private static string Holder(ServerFolders folders) =>
        DataFolderLock.Holder(folders) is { } process ? $" (process {process})" : "";

    private static string Superuser(string socketFolder, ServerCredentials credentials)
    {
        var connection = Connection(socketFolder, "postgres", ServerCredentials.Superuser, credentials);
        connection.Pooling = false;
        connection.Timeout = 5;
        return connection.ConnectionString;
    }

    private static NpgsqlConnectionStringBuilder Connection(
        string socketFolder, string database, string role, ServerCredentials credentials)
    {
        return new NpgsqlConnectionStringBuilder
        {
            Host = socketFolder,
            Port = ServerFolders.Port,
            Database = database,
            Username = role,
            Password = credentials.PasswordOf(role),
            ApplicationName = "GuildStash",
        };
    }
}
