using System.Globalization;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Faults;

/// <summary>A database server of the test's own that crashes between a commit and its answer.</summary>
public sealed class ServerCrashTests
{
    /// <summary>Now and then the server writes its log just then, and keeps the number.</summary>
    private const int MostCrashes = 5;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <remarks>
    /// A number that never reached the log is given again. Asked by that number, the crashed server said "committed" of somebody else's
    /// work, and an acknowledged save was missing.
    /// </remarks>
    [Fact]
    public async Task Commit_WhenItsNumberIsGivenToSomebodyElseAfterACrash_IsDoneOnceAllTheSame()
    {
        Assert.SkipWhen(Environment.GetEnvironmentVariable(PostgresFixture.EnvironmentName) is { Length: > 0 }, "A server that others use is not crashed.");
        await using PostgresFixture server = new();
        await server.InitializeAsync();
        DatabaseRoad? road = null;
        await using DeskRoom desk = await DeskRoom.OpenAsync(server, connection => (road = new DatabaseRoad(connection)).ConnectionString);
        string past = new NpgsqlConnectionStringBuilder(desk.Guild.OwnerConnectionString) { Pooling = false }.ConnectionString;
        await AskAsync(past, "create table somebody_elses (work int)");
        await server.WriteLogAtCommitsAsync(new NpgsqlConnectionStringBuilder(past).Database!);
        bool isGivenAgain = false;
        road!.Meanwhile = async () =>
        {
            ulong number = Number(await AskAsync(past, "select backend_xid::text from pg_stat_activity where backend_xid is not null"));
            await server.CrashAsync();
            ulong given;
            while ((given = Number(await AskAsync(past, "insert into somebody_elses values (1) returning pg_current_xact_id()::text"))) < number)
            {
                // The next commit gets the next number.
            }

            isGivenAgain = given == number;
        };
        for (int crash = 1; crash <= MostCrashes && !isGivenAgain; crash++)
        {
            road.NextCommit = CommitFate.IsLost;
            Outcome<LoggedGift> logged = await desk.Guild.UseAsync<LogGift, Outcome<LoggedGift>>(
                u => u.RunAsync(desk.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, [])] }, Cancellation));
            Assert.Equal(CommitFate.Passes, road.NextCommit);
            Assert.True(logged.IsOk, string.Join(" ", logged.Refusals));
            Assert.Equal(crash, await desk.AskAsync(db => db.Donations.CountAsync(Cancellation)));
        }

        Assert.True(isGivenAgain, $"No number was given again in {MostCrashes} crashes.");
        await road.DisposeAsync();
    }

    private static ulong Number(string? text) => ulong.Parse(text!, CultureInfo.InvariantCulture);

    private static async Task<string?> AskAsync(string connectionString, string question)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync(Cancellation);
        await using NpgsqlCommand command = new(question, connection);
        return await command.ExecuteScalarAsync(Cancellation) as string;
    }
}
