using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Demo;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features;

public sealed class DemoGuildTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_FillsTheRoomWithCleanBooksAndTheSameYarnEachTime()
    {
        List<string> first = await SeedAsync();
        List<string> second = await SeedAsync();
        Assert.Equal(first, second);
    }

    private async Task<List<string>> SeedAsync()
    {
        await using GuildRoom room = await GuildRoom.OpenEmptyAsync(postgres);
        await room.UseAsync<DemoGuild, bool>(async demo =>
        {
            await demo.SeedAsync(await DemoScenario.ReadAsync(DemoScenario.DefaultFolder, Cancellation), _ => { }, Cancellation);
            return true;
        });
        await using GuildDbContext db = room.Look();
        Assert.Equal(12, await db.Donors.CountAsync(Cancellation));
        Assert.Equal(20, await db.Bags.CountAsync(Cancellation));
        Assert.Equal(12, await db.Bins.CountAsync(Cancellation));
        Assert.Equal(10, await db.People.CountAsync(Cancellation));
        Assert.Equal(3, await db.Projects.CountAsync(Cancellation));
        Assert.InRange(await db.Lots.CountAsync(Cancellation), 190, 230);
        Assert.All(await BookAudit.RunAsync(db, Cancellation), line => Assert.True(line.Faults.Count == 0, line.What + ": " + string.Join(" ", line.Faults)));
        return await db.Lots.OrderBy(l => l.Code).Select(l => l.Code + " " + l.ColourHex + " " + l.OnHandMg + " " + l.WeightClass).ToListAsync(Cancellation);
    }
}
