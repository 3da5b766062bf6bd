using GuildStash.TestSupport;
using Npgsql;

namespace GuildStash.Data.Tests.Server;

public sealed class PostgresFixtureTests(PostgresFixture postgres)
{
    private static int _migrations;

    [Fact]
    public async Task CreateDatabase_WhenOneWasChanged_NextIsFreshAndMigratedOnce()
    {
        await using var first = await postgres.CreateDatabaseAsync(MigrateAsync);
        await Sql.RunAsync(first.OwnerConnectionString, "INSERT INTO bin VALUES ('A1')");
        await using var second = await postgres.CreateDatabaseAsync(MigrateAsync);

        Assert.Equal(1, await Sql.ScalarAsync<long>(first.AppConnectionString, "SELECT count(*) FROM bin"));
        Assert.Equal(0, await Sql.ScalarAsync<long>(second.AppConnectionString, "SELECT count(*) FROM bin"));
        Assert.Equal(1, _migrations);
    }

    [Fact]
    public async Task DisposeDatabase_WhenASessionIsOpen_DropsIt()
    {
        var database = await postgres.CreateDatabaseAsync();
        await using var watcher = await postgres.CreateDatabaseAsync();
        await using var open = new NpgsqlConnection(database.OwnerConnectionString);
        await open.OpenAsync(TestContext.Current.CancellationToken);

        await database.DisposeAsync();

        Assert.Equal(0, await Sql.ScalarAsync<long>(
            watcher.OwnerConnectionString, $"SELECT count(*) FROM pg_database WHERE datname = '{database.Name}'"));
    }

    private static async Task MigrateAsync(string owner)
    {
        Interlocked.Increment(ref _migrations);
        await Sql.RunAsync(owner, "CREATE TABLE bin (code text PRIMARY KEY); GRANT SELECT ON bin TO guildstash_app");
    }
}
