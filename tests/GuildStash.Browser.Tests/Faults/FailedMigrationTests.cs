using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Npgsql;
using Xunit;

namespace GuildStash.Browser.Tests.Faults;

/// <summary>
/// The program runs, and a second start on the same database has a migration that fails or that waits in vain. The last migration is the
/// one: the database is told that it was not applied, and what it would make is there already.
/// </summary>
[Collection(OneAtATime.Name)]
public sealed class FailedMigrationTests(PostgresFixture postgres, BrowserFixture browser)
{
    private const string Applied = """select string_agg(migration_id, ', ' order by migration_id) from "__EFMigrationsHistory";""";
    private const string Columns = "select string_agg(table_name || '.' || column_name || ' ' || data_type, ', ' order by table_name, column_name) from information_schema.columns where table_schema = 'public'";

    /// <summary>All rows but those of answers, tokens' last use and sign-ins, which the running program goes on writing.</summary>
    private const string Rows = "select coalesce((select max(sequence) from movement), 0) || ' ' || (select count(*) from lot) || ' ' || (select sum(on_hand_mg) from lot)";

    [Fact]
    public async Task SecondStart_WhenItsMigrationFails_EndsWithASentenceAndTheFirstServesOn()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Volunteer);
        using Intake intake = await Intake.BeginAsync(room.Site);
        string gift = await intake.GiveAsync();
        int left = 3;
        await intake.SortAsync(gift, () => --left >= 0);
        await RunAsync(room.Site, $"delete from \"__EFMigrationsHistory\" where migration_id = '{GuildDatabase.Migrations[^1]}'");
        string[] before = await StateAsync(room.Site);

        (int exit, string told) = await ProgramSite.StartInVainAsync(room.Site);

        Assert.True(exit == 2, $"{exit}: {told}");
        Assert.Contains("The database could not be brought to this version:", told, StringComparison.Ordinal);
        Assert.Contains("It is as it was before", told, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", told, StringComparison.Ordinal);
        Assert.Equal(before, await StateAsync(room.Site));

        left = 3;
        await intake.SortAsync(gift, () => --left >= 0);
        Assert.Equal((6, 0), (intake.Saved.Count, intake.BrokenOff));
        await room.Volunteer.GoAsync("/inventory/lots");
        await RunAsync(room.Site, $"insert into \"__EFMigrationsHistory\" (migration_id, product_version) values ('{GuildDatabase.Migrations[^1]}', '10')");
        await room.Site.AssertBooksAreCleanAsync();
    }

    [Fact]
    public async Task Start_WhenTwoNodesStartOnAnEmptyDatabase_BothServe()
    {
        (ProgramSite first, ProgramSite second) = await ProgramSite.StartTwoAsync(postgres);
        await using ProgramSite one = first;
        await using ProgramSite two = second;
        await Founding.FoundAsync(first);
        using Intake here = await Intake.BeginAsync(first);
        string gift = await here.GiveAsync();
        using Intake there = await Intake.BeginAsync(first, two.Address);
        int left = 3;
        await there.SortAsync(gift, () => --left >= 0);

        Assert.Equal((3, 0), (there.Saved.Count, there.BrokenOff));
        Assert.Equal(string.Join(", ", GuildDatabase.Migrations), await AskAsync(first, Applied));
    }

    private static async Task<string[]> StateAsync(Site site) => [await AskAsync(site, Applied), await AskAsync(site, Columns), await AskAsync(site, Rows)];

    private static async Task<string> AskAsync(Site site, string question)
    {
        await using NpgsqlConnection connection = new(site.OwnerConnectionString);
        await connection.OpenAsync(Site.Cancellation);
        await using NpgsqlCommand command = new(question, connection);
        return (await command.ExecuteScalarAsync(Site.Cancellation))?.ToString() ?? "";
    }

    private static async Task RunAsync(Site site, string sql)
    {
        await using NpgsqlConnection connection = new(site.OwnerConnectionString);
        await connection.OpenAsync(Site.Cancellation);
        await using NpgsqlCommand command = new(sql, connection);
        await command.ExecuteNonQueryAsync(Site.Cancellation);
    }
}
