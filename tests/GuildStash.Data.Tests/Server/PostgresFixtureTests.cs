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
    public async Task DisposeDatabase_WhenRowsWereChanged_TheNextTestHasThemAsTheyWere()
    {
        await using (var used = await postgres.CreateDatabaseAsync(FillAsync))
        {
            await Sql.RunAsync(
                used.OwnerConnectionString,
                "INSERT INTO shelf (name) VALUES ('C'), ('D'); UPDATE shelf SET name = 'changed' WHERE name = 'A'; DELETE FROM shelf WHERE name = 'B'; INSERT INTO note VALUES ('left here', 1)");
        }

        await using var next = await postgres.CreateDatabaseAsync(FillAsync);

        Assert.Equal("1 A, 2 B\t\\N", await Sql.ScalarAsync<string>(next.OwnerConnectionString, "SELECT string_agg(id || ' ' || name, ', ' ORDER BY id) FROM shelf"));
        Assert.Equal(0, await Sql.ScalarAsync<long>(next.OwnerConnectionString, "SELECT count(*) FROM note"));
        Assert.Equal(3, await Sql.ScalarAsync<long>(next.OwnerConnectionString, "INSERT INTO shelf (name) VALUES ('E') RETURNING id"));
    }

    [Theory]
    [InlineData("ALTER TABLE note DROP CONSTRAINT note_shelf_fkey")]
    [InlineData("ALTER TABLE note ADD COLUMN at timestamptz")]
    [InlineData("CREATE TABLE left_over (n int)")]
    [InlineData("CREATE INDEX ON note (words)")]
    public async Task DisposeDatabase_WhenItsSchemaWasChanged_IsNeverHandedOutAgain(string change)
    {
        string name;
        await using (var used = await postgres.CreateDatabaseAsync(FillAsync))
        {
            name = used.Name;
            await Sql.RunAsync(used.OwnerConnectionString, change);
        }

        await using var next = await postgres.CreateDatabaseAsync(FillAsync);
        Assert.Equal(0, await Sql.ScalarAsync<long>(next.OwnerConnectionString, $"SELECT count(*) FROM pg_database WHERE datname = '{name}'"));
    }

    [Fact]
    public async Task DisposeDatabase_WhenASessionIsAtWork_IsNeverHandedOutAgain()
    {
        var used = await postgres.CreateDatabaseAsync(FillAsync);
        await using var open = new NpgsqlConnection(used.OwnerConnectionString);
        await open.OpenAsync(TestContext.Current.CancellationToken);
        await using var begun = await open.BeginTransactionAsync(TestContext.Current.CancellationToken);
        await using NpgsqlCommand command = new("INSERT INTO note VALUES ('not yet there', 1)", open, begun);
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
        await used.DisposeAsync();

        await using var next = await postgres.CreateDatabaseAsync(FillAsync);
        Assert.Equal(0, await Sql.ScalarAsync<long>(next.OwnerConnectionString, $"SELECT count(*) FROM pg_database WHERE datname = '{used.Name}'"));
    }

    [Fact]
    public async Task DisposeDatabase_WhenDoneTwice_LeavesItToTheTestThatHasItNow()
    {
        var used = await postgres.CreateDatabaseAsync(FillAsync);
        await used.DisposeAsync();
        List<TestDatabase> taken = [];
        while (taken.Count == 0 || taken[^1].Name != used.Name)
        {
            Assert.True(taken.Count < 20, "It was not handed out again.");
            taken.Add(await postgres.CreateDatabaseAsync(FillAsync));
        }

        await Sql.RunAsync(taken[^1].OwnerConnectionString, "INSERT INTO note VALUES ('mine', 1)");
        await used.DisposeAsync();

        Assert.Equal(1, await Sql.ScalarAsync<long>(taken[^1].OwnerConnectionString, "SELECT count(*) FROM note"));
        foreach (var database in taken)
        {
            await database.DisposeAsync();
        }
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

    private static Task FillAsync(string owner) => Sql.RunAsync(
        owner,
        """
        CREATE TABLE shelf (id bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, name text);
        CREATE TABLE note (words text, shelf bigint REFERENCES shelf, loud text GENERATED ALWAYS AS (upper(words)) STORED);
        INSERT INTO shelf (name) VALUES ('A'), (E'B\t\\N');
        """);

    private static async Task MigrateAsync(string owner)
    {
        Interlocked.Increment(ref _migrations);
        await Sql.RunAsync(owner, "CREATE TABLE bin (code text PRIMARY KEY); GRANT SELECT ON bin TO guildstash_app");
    }
}
