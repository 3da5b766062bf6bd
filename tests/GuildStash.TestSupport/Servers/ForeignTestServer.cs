using Npgsql;
using Testcontainers.PostgreSql;

namespace GuildStash.TestSupport.Servers;

/// <summary>A server that the tests did not set up themselves: named by the environment, or in a container.</summary>
internal sealed class ForeignTestServer : ITestServer
{
    // Roles belong to the whole server, and several test programs may share it: all must set the same password.
    private const string RolePassword = "guildstash-test-only";

    private readonly IAsyncDisposable? _container;

    private ForeignTestServer(string admin, string description, IAsyncDisposable? container) =>
        (AdminConnectionString, Description, _container) = (admin, description, container);

    public string Description { get; }

    public string AdminConnectionString { get; }

    public static async Task<ITestServer> InContainerAsync()
    {
        var container = new PostgreSqlBuilder("postgres:15-alpine").Build();
        await container.StartAsync().ConfigureAwait(false);
        return await PrepareAsync(container.GetConnectionString(), "PostgreSQL in a container", container).ConfigureAwait(false);
    }

    public static async Task<ITestServer> PrepareAsync(string admin, string description, IAsyncDisposable? container)
    {
        await using var connection = new NpgsqlConnection(admin);
        await connection.OpenAsync().ConfigureAwait(false);
        await using var command = new NpgsqlCommand(
            $"""
            DO $$ BEGIN
              PERFORM pg_advisory_xact_lock(7305);
              IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = '{TestRoles.Owner}') THEN
                CREATE ROLE {TestRoles.Owner} LOGIN CREATEDB PASSWORD '{RolePassword}';
              END IF;
              IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = '{TestRoles.App}') THEN
                CREATE ROLE {TestRoles.App} LOGIN PASSWORD '{RolePassword}';
              END IF;
            END $$
            """,
            connection);
        await command.ExecuteNonQueryAsync().ConfigureAwait(false);
        var server = new ForeignTestServer(admin, description, container);
        await CheckSignInAsync(server).ConfigureAwait(false);
        return server;
    }

    /// <summary>A real guild's server has the same roles with passwords of its own, which the tests must not change.</summary>
    private static async Task CheckSignInAsync(ForeignTestServer server)
    {
        try
        {
            await using var connection = new NpgsqlConnection(server.OwnerConnectionString("postgres"));
            await connection.OpenAsync().ConfigureAwait(false);
        }
        catch (PostgresException fault) when (fault.SqlState == PostgresErrorCodes.InvalidPassword)
        {
            throw new InvalidOperationException(
                $"The {server.Description} already has a role {TestRoles.Owner} that is not the tests': name a server that holds no guild's data.",
                fault);
        }
    }

    public string OwnerConnectionString(string database) => Connection(TestRoles.Owner, database);

    public string AppConnectionString(string database) => Connection(TestRoles.App, database);

    public ValueTask DisposeAsync() => _container?.DisposeAsync() ?? ValueTask.CompletedTask;

    private string Connection(string role, string database) => new NpgsqlConnectionStringBuilder(AdminConnectionString)
    {
        Database = database,
        Username = role,
        Password = RolePassword,
    }.ConnectionString;
}
