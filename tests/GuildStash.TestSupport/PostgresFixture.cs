using System.Collections.Concurrent;
using System.Diagnostics;
using GuildStash.TestSupport.Servers;
using Npgsql;
using Xunit;

namespace GuildStash.TestSupport;

/// <summary>
/// One PostgreSQL server for a test program, as an assembly fixture:
/// <c>[assembly: AssemblyFixture(typeof(PostgresFixture))]</c>. It is the server that GUILDSTASH_TEST_DATABASE names, else
/// the embedded one in a temporary folder, else a container.
/// </summary>
public sealed class PostgresFixture : IAsyncLifetime
{
    /// <summary>A connection string whose role may create databases and roles.</summary>
    public const string EnvironmentName = "GUILDSTASH_TEST_DATABASE";

    private readonly ConcurrentDictionary<Delegate, Lazy<Task<Template>>> _templates = new();
    private readonly ConcurrentDictionary<string, bool> _databases = new();
    private readonly string _prefix = $"test_{Guid.CreateVersion7():N}"[..22];
    private ITestServer? _server;
    private int _count;
    private string _strategy = "";
    private string _admin = "";
    private bool _isSuperuser;

    /// <summary>Which of the three servers is used, for a test's output.</summary>
    public string Description => Server.Description;

    private ITestServer Server => _server ?? throw new InvalidOperationException("The fixture is not initialised.");

    public async ValueTask InitializeAsync()
    {
        _server = await TestServers.StartAsync().ConfigureAwait(false);
        // A connection costs more than what is asked by it here.
        _admin = new NpgsqlConnectionStringBuilder(Server.AdminConnectionString) { Pooling = true }.ConnectionString;
        await using var connection = new NpgsqlConnection(_admin);
        await connection.OpenAsync().ConfigureAwait(false);
        _isSuperuser = connection.PostgresParameters.GetValueOrDefault("is_superuser") == "on";
        // Where a server offers the choice, copying files takes an eighth of the processor time of copying through its log.
        _strategy = connection.PostgreSqlVersion.Major >= 15 ? " STRATEGY FILE_COPY" : "";
    }

    /// <summary>Makes an empty database.</summary>
    public async Task<TestDatabase> CreateDatabaseAsync()
    {
        var name = NextName();
        await RunAsync($"CREATE DATABASE {name} OWNER {TestRoles.Owner}").ConfigureAwait(false);
        return Hand(name, _ => Task.FromResult(false));
    }

    /// <summary>Makes a database with the schema that <paramref name="migrate"/> sets up.</summary>
    /// <param name="migrate">
    /// Gets the owner's connection string. It runs once per distinct delegate (a static method or a lambda that captures
    /// nothing); later databases are copied from its result, or were, and are as they came out of it once more.
    /// </param>
    public async Task<TestDatabase> CreateDatabaseAsync(Func<string, Task> migrate)
    {
        var template = await _templates.GetOrAdd(migrate, _ => new Lazy<Task<Template>>(() => MakeTemplateAsync(migrate))).Value
            .ConfigureAwait(false);
        if (!template.Renewed.TryTake(out var name))
        {
            name = NextName();
            await RunAsync($"CREATE DATABASE {name} OWNER {TestRoles.Owner} TEMPLATE {template.Name}{_strategy}").ConfigureAwait(false);
        }

        return Hand(name, used => TakeBackAsync(template, used));
    }

    /// <summary>Makes a copy of a database that nobody uses any more.</summary>
    public async Task<TestDatabase> CopyAsync(TestDatabase original)
    {
        var name = NextName();
        await RunAsync($"CREATE DATABASE {name} OWNER {TestRoles.Owner} TEMPLATE {original.Name}{_strategy}").ConfigureAwait(false);
        return Hand(name, _ => Task.FromResult(false));
    }

    /// <summary>Lets commits wait for the server's log, as in use, and nothing come into it before it must: a crash takes with it what was not committed.</summary>
    public async Task WriteLogAtCommitsAsync(string database)
    {
        await RunAsync($"ALTER DATABASE {database} SET synchronous_commit = on").ConfigureAwait(false);
        await RunAsync("ALTER SYSTEM SET wal_writer_delay = '10s'").ConfigureAwait(false);
        await RunAsync("SELECT pg_reload_conf()").ConfigureAwait(false);
        await RunAsync("CHECKPOINT").ConfigureAwait(false);
    }

    /// <summary>Ends the server as a power cut would and waits until it answers again. Only for a fixture of one test's own, with the embedded server.</summary>
    public async Task CrashAsync()
    {
        await using (var connection = new NpgsqlConnection(Server.AdminConnectionString))
        {
            await connection.OpenAsync().ConfigureAwait(false);
            await using var command = new NpgsqlCommand("SELECT split_part(pg_read_file('postmaster.pid'), E'\\n', 1)::int", connection);
            using var postmaster = Process.GetProcessById((int)(await command.ExecuteScalarAsync().ConfigureAwait(false))!);
            postmaster.Kill();
            await postmaster.WaitForExitAsync().ConfigureAwait(false);
        }

        using var again = new PeriodicTimer(TimeSpan.FromMilliseconds(50));
        while (await again.WaitForNextTickAsync().ConfigureAwait(false))
        {
            try
            {
                await RunAsync("SELECT 1").ConfigureAwait(false);
                return;
            }
            catch (NpgsqlException)
            {
                // Not yet back.
            }
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_server is null)
        {
            return;
        }

        // On a server that lives on, databases of tests that failed before disposing theirs are dropped here.
        foreach (var name in _databases.Keys)
        {
            await DropAsync(name).ConfigureAwait(false);
        }

        await _server.DisposeAsync().ConfigureAwait(false);
    }

    private async Task<Template> MakeTemplateAsync(Func<string, Task> migrate)
    {
        var name = NextName();
        await RunAsync($"CREATE DATABASE {name} OWNER {TestRoles.Owner}").ConfigureAwait(false);
        // An idle pooled connection would block copying the template.
        await migrate(new NpgsqlConnectionStringBuilder(Server.OwnerConnectionString(name)) { Pooling = false }.ConnectionString)
            .ConfigureAwait(false);
        return new Template(name, _isSuperuser ? await UsedDatabase.OfAsync(SuperuserConnectionString(name, pooling: false)).ConfigureAwait(false) : null);
    }

    private async Task<bool> TakeBackAsync(Template template, string name)
    {
        if (template.Used is { } used && await used.RenewAsync(SuperuserConnectionString(name, pooling: true)).ConfigureAwait(false))
        {
            template.Renewed.Add(name);
            return true;
        }

        return false;
    }

    private string SuperuserConnectionString(string database, bool pooling) =>
        new NpgsqlConnectionStringBuilder(Server.AdminConnectionString) { Database = database, Pooling = pooling }.ConnectionString;

    private string NextName()
    {
        var name = $"{_prefix}_{Interlocked.Increment(ref _count)}";
        _databases[name] = true;
        return name;
    }

    private TestDatabase Hand(string name, Func<string, Task<bool>> takeBack) =>
        new(name, Server.OwnerConnectionString(name), Server.AppConnectionString(name), DropAsync, takeBack);

    private async Task DropAsync(string name)
    {
        await RunAsync($"DROP DATABASE IF EXISTS {name} WITH (FORCE)").ConfigureAwait(false);
        _databases.TryRemove(name, out _);
    }

    private async Task RunAsync(string statement)
    {
        await using var connection = new NpgsqlConnection(_admin);
        await connection.OpenAsync().ConfigureAwait(false);
        await using var command = new NpgsqlCommand(statement, connection);
        await command.ExecuteNonQueryAsync().ConfigureAwait(false);
    }

    /// <param name="Used">What a used copy is made new with; null where the server doesn't allow it.</param>
    private sealed record Template(string Name, UsedDatabase? Used)
    {
        /// <summary>Copies that tests have handed back and that are as the template.</summary>
        public ConcurrentBag<string> Renewed { get; } = [];
    }
}
