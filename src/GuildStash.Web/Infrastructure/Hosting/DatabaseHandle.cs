using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>
/// The open database of this run. Disposing stops the embedded server if this process started it; one that another process
/// keeps, or a server of the guild's own, goes on.
/// </summary>
public sealed class DatabaseHandle : IAsyncDisposable
{
    private const int OldestVersion = 150000;

    private readonly EmbeddedPostgres? _server;

    private DatabaseHandle(string owner, string app, string description, EmbeddedPostgres? server) =>
        (OwnerConnectionString, AppConnectionString, Description, _server) = (owner, app, description, server);

    /// <summary>The role that owns the schema: migrations, restore.</summary>
    public string OwnerConnectionString { get; }

    /// <summary>The running app's lesser role; the same as the owner when only one was given.</summary>
    public string AppConnectionString { get; }

    /// <summary>Which server it is, without passwords, for the log.</summary>
    public string Description { get; }

    /// <exception cref="ServerStartException">The embedded server cannot be used.</exception>
    /// <exception cref="StartupException">The named server cannot be used.</exception>
    public static async Task<DatabaseHandle> OpenAsync(
        AppOptions options, ILogger? logger = null, CancellationToken cancellation = default)
    {
        if (options.Database is { } named)
        {
            var lesser = options.AppDatabase ?? named;
            await CheckAsync(named, cancellation);
            await CheckAsync(lesser, cancellation);
            var connection = new NpgsqlConnectionStringBuilder(named);
            return new DatabaseHandle(named, lesser, $"{connection.Database} on {connection.Host}:{connection.Port}", null);
        }

        if (options.Command is AppCommand.Backup or AppCommand.Export && !EmbeddedPostgres.HasCluster(options.DataDirectory))
        {
            throw new StartupException($"There is no database in {options.DataDirectory}: name the guild's data folder with --data DIR.");
        }

        // A restore must not find an app at work: starting refuses a folder that one holds.
        var attached = options.Command is AppCommand.Serve or AppCommand.Restore
            ? null
            : await EmbeddedPostgres.AttachAsync(options.DataDirectory, cancellation);
        var server = attached ?? await EmbeddedPostgres.StartAsync(
            new EmbeddedPostgresOptions { DataDirectory = options.DataDirectory, Logger = logger }, cancellation);
        return new DatabaseHandle(
            server.OwnerConnectionString(),
            server.AppConnectionString(),
            $"embedded PostgreSQL {server.MajorVersion} in {server.Folders.Root}",
            server);
    }

    public ValueTask DisposeAsync() => _server?.DisposeAsync() ?? ValueTask.CompletedTask;

    private static async Task CheckAsync(string connectionString, CancellationToken cancellation)
    {
        var named = new NpgsqlConnectionStringBuilder(connectionString) { Pooling = false };
        var place = $"{named.Username} at {named.Host}:{named.Port}, database {named.Database}";
        try
        {
            await using var connection = new NpgsqlConnection(named.ConnectionString);
            await connection.OpenAsync(cancellation);
            await using var command = new NpgsqlCommand("SELECT current_setting('server_version_num')::int", connection);
            var version = (int)(await command.ExecuteScalarAsync(cancellation))!;
            if (version < OldestVersion)
            {
                throw new StartupException(
                    $"The database server of {place} is PostgreSQL {version / 10000}; GuildStash needs version {OldestVersion / 10000} or newer.");
            }
        }
        catch (PostgresException fault)
        {
            throw new StartupException($"The database server refuses {place}: {fault.MessageText}.", fault);
        }
        catch (NpgsqlException fault)
        {
            throw new StartupException(
                $"The database server does not answer {place}: {(fault.InnerException ?? fault).Message}.", fault);
        }
    }
}
