using System.Globalization;
using Bunit;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Demo;
using GuildStash.Web.Features.Home;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Features.Wanted;
using GuildStash.Web.Tests.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features;

/// <summary>The demo guild, loaded once for all tests that look at it.</summary>
public sealed class DemoRoom(PostgresFixture postgres) : IAsyncLifetime
{
    public GuildRoom Guild { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        Guild = await GuildRoom.OpenEmptyAsync(postgres);
        await Guild.UseAsync<DemoGuild, bool>(async demo =>
        {
            await demo.SeedAsync(await DemoScenario.ReadAsync(DemoScenario.DefaultFolder, CancellationToken.None), _ => { }, CancellationToken.None);
            return true;
        });
        await SharedDemo.LeaveAsync(Guild.OwnerConnectionString, CancellationToken.None);
    }

    public ValueTask DisposeAsync() => Guild.DisposeAsync();
}

public sealed class DemoGuildTests(DemoRoom demo) : IClassFixture<DemoRoom>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Make_WhenTheScenarioIsTheSame_PlansTheSameYear()
    {
        DemoScenario scenario = await DemoScenario.ReadAsync(DemoScenario.DefaultFolder, Cancellation);
        Assert.Equal(DemoPlan.Make(scenario).Fingerprint, DemoPlan.Make(scenario).Fingerprint);
        DemoScenario other = scenario with { Wishes = ["Please use it for hats."] };
        Assert.NotEqual(DemoPlan.Make(scenario).Fingerprint, DemoPlan.Make(other).Fingerprint);
    }

    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_FillsTheRoomWithAYearAndCleanBooks()
    {
        await using GuildDbContext db = demo.Guild.Look();
        Assert.Equal(40, await db.Donors.CountAsync(Cancellation));
        Assert.Equal(60, await db.Bags.CountAsync(Cancellation));
        Assert.Equal(1200, await db.Lots.CountAsync(l => !db.LotTransfers.Any(t => t.ToLotId == l.Id && t.Kind == LotTransferKind.Split), Cancellation));
        Assert.Equal((2, 1), (await db.LotTransfers.CountAsync(t => t.Kind == LotTransferKind.Split, Cancellation), await db.LotTransfers.CountAsync(t => t.Kind == LotTransferKind.Merge, Cancellation)));
        Assert.Equal(40, await db.Bins.CountAsync(Cancellation));
        Assert.Equal(25, await db.People.CountAsync(Cancellation));
        Assert.Equal(6, await db.Projects.CountAsync(Cancellation));
        Assert.All(await BookAudit.RunAsync(db, Cancellation), line => Assert.True(line.Faults.Count == 0, line.What + ": " + string.Join(" ", line.Faults)));
    }

    /// <summary>The page adds up moments in the database; the reference draws lot by lot from the evidence, and knows nothing of these.</summary>
    [Theory]
    [InlineData(LengthUnit.Yards, "yd", 0.9144)]
    [InlineData(LengthUnit.Metres, "km", 1000)]
    public async Task Show_WhenTheDemoGuildsYarnIsAddedUp_TheInventoryPageTellsLowLikelyAndHigh(LengthUnit unit, string sign, double metres)
    {
        List<Lot> lots;
        Guid member;
        await using (GuildDbContext db = demo.Guild.Look())
        {
            lots = await db.Lots.Where(l => l.ClosedAt == null && l.QuarantineReason == null && l.OnHandMg > l.HeldMg + l.QuarantinedMg).ToListAsync(Cancellation);
            member = await db.People.Where(p => p.Email == "member@example.org").Select(p => p.Id).SingleAsync(Cancellation);
        }

        LengthRange drawn = LengthTotal.Of([.. lots
            .Select(lot => (Lot: lot, Yarn: YardageRules.Standard.Estimate(LotTraitsOf.Evidence(lot))))
            .Where(each => each.Yarn is not null)
            .Select(each => new LotInTotal(each.Yarn!, Mass.FromMilligrams(each.Lot.OnHandMg - each.Lot.HeldMg - each.Lot.QuarantinedMg), each.Lot.ScaleDivisionMg is { } d ? Mass.FromMilligrams(d) : null))]);
        double[] expected = [drawn.Low.Metres / metres, drawn.Likely.Metres / metres, drawn.High.Metres / metres];
        await using StockPage shell = new();

        IRenderedComponent<InventoryPage> wall = shell.Open(demo.Guild, member, unit, "/inventory");
        string sentence = Spaces.Plain(wall.Find(".stock-sentence").TextContent);
        string whole = Spaces.Plain(wall.WaitForElement(".stock-whole").TextContent);
        await using StockPage other = new();
        IRenderedComponent<InventoryPage> table = other.Open(demo.Guild, member, LengthUnit.Metres, "/inventory?view=table");
        double[] edge = [.. new[] { "tfoot tr:first-child", "tfoot .likely", "tfoot .high" }
            .Select(row => table.Find($"{row} td:nth-last-child(2)").TextContent).Select(text => double.Parse(text, NumberStyles.Number, CultureInfo.InvariantCulture))];

        Assert.Contains($" {sign}, probably ", sentence, StringComparison.Ordinal);
        Assert.All(expected.Zip(StockPage.Figures(sentence)), each => Assert.Equal(each.First, each.Second, 0.01 * each.First));
        Assert.Equal(StockPage.Figures(sentence), StockPage.Figures(whole));
        Assert.All(expected.Zip(edge), each => Assert.Equal(each.First * metres, each.Second, 0.01 * each.Second));
        Assert.True(edge[0] < edge[1] && edge[1] < edge[2]);
    }

    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_WritesAPieceBookThatProjectsReferTo()
    {
        await using GuildDbContext db = demo.Guild.Look();
        Assert.Equal(13, await db.Pieces.CountAsync(Cancellation));
        Assert.Equal(7, await db.WantedPieces.CountAsync(w => w.PieceId != null, Cancellation));
        Assert.True(await db.WantedPieces.AnyAsync(w => w.PieceId == null, Cancellation), "No wanted piece waits to be described.");
        Assert.True(await db.WantedPieces.AnyAsync(w => w.Priority > 1, Cancellation));
        Assert.All(await db.PieceParts.Where(p => p.Name != "Border").Select(p => p.Reckoning).ToListAsync(Cancellation), Assert.NotNull);
    }

    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_LeavesSomethingOfEverythingAtTheDesk()
    {
        await using GuildDbContext db = demo.Guild.Look();
        foreach (HoldState state in Enum.GetValues<HoldState>())
        {
            Assert.True(await db.Holds.AnyAsync(h => h.State == state, Cancellation), $"No hold is {state}.");
        }

        DateTimeOffset now = DateTimeOffset.UtcNow;
        Assert.False(await db.Holds.AnyAsync(h => h.State == HoldState.Active && h.ExpiresAt <= now, Cancellation));
        DateOnly today = DateOnly.FromDateTime(now.UtcDateTime);
        Assert.Equal(2, await db.Checkouts.CountAsync(c => c.ClosedAt == null && c.DueOn < today, Cancellation));
        Assert.True(await db.Checkouts.AnyAsync(c => c.ClosedAt == null && c.DueOn >= today, Cancellation));
        Assert.True(await db.LotReturns.AnyAsync(r => r.SettledAt == null, Cancellation), "No return waits for an inspection.");
        Assert.True(await db.LotReturns.AnyAsync(r => r.SettledAt != null, Cancellation));
        Assert.True(await db.Bags.AnyAsync(b => b.QuarantineReason != null && b.ClosedAt == null, Cancellation), "No bag is in quarantine.");
        Assert.True(await db.Lots.AnyAsync(l => !l.MassKnown, Cancellation), "No lot waits for the scale.");
    }

    /// <summary>In the order of writing, and nothing of it lies ahead.</summary>
    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_SpreadsTheWorkOverTheYear()
    {
        await using GuildDbContext db = demo.Guild.Look();
        List<DateTimeOffset> times = await db.Movements.OrderBy(m => m.Sequence).Select(m => m.At).ToListAsync(Cancellation);
        Assert.Equal(times.Order(), times);
        Assert.InRange((times[^1] - times[0]).TotalDays, 330, 366);
        Assert.True(times[^1] < DateTimeOffset.UtcNow);
        Assert.Equal(12, times.Select(t => t.Month).Distinct().Count());
        Assert.False(await db.Donations.AnyAsync(d => d.ReceivedOn > DateOnly.FromDateTime(d.CreatedAt.UtcDateTime).AddDays(1), Cancellation));
    }

    /// <summary>Each line of a kit is of a class that its part takes, and long enough for it; its yarn is kept for weeks, not for a year.</summary>
    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_MakesKitsWhoseYarnFits()
    {
        await using GuildDbContext db = demo.Guild.Look();
        var lines = await db.KitLines.Join(db.Kits, l => l.KitId, k => k.Id, (l, k) => new { Line = l, Kit = k, l.Hold, l.Hold.Lot }).ToListAsync(Cancellation);
        Dictionary<(Guid, string), PiecePart> parts = await db.PieceParts.ToDictionaryAsync(p => (p.PieceId, p.Name), Cancellation);
        Assert.All(lines, each =>
        {
            PiecePart part = parts[(each.Kit.PieceId!.Value, each.Line.Part)];
            Assert.Contains(each.Lot.WeightClass!.Value, part.WeightClasses);
            Assert.Equal(part.MetresSafe * part.Strands * each.Kit.Pieces, each.Line.Metres, 1e-6);
            Assert.True(each.Line.PlannedMg * each.Lot.MetresPer100gLow / 100_000 >= each.Line.Metres - 0.01, each.Kit.Number);
        });
        Assert.All(lines.GroupBy(l => l.Kit.Id), kit => Assert.Equal(parts.Keys.Count(p => p.Item1 == kit.First().Kit.PieceId), kit.Count()));
        Assert.All(lines.Where(l => l.Hold.State == HoldState.Active), l => Assert.InRange((l.Hold.ExpiresAt - DateTimeOffset.UtcNow).TotalDays, 14, 70));
        Guid volunteer = await db.People.Where(p => p.Role == Role.Volunteer).OrderBy(p => p.Id).Select(p => p.Id).FirstAsync(Cancellation);
        KitCounts counts = await demo.Guild.DoAsync<KitReader, KitCounts>(u => u.CountsAsync(volunteer, new KitFilter(), Cancellation));
        Assert.All([KitState.ToPack, KitState.Packed, KitState.AtHome, KitState.Done], state => Assert.True(counts.Of(state) > 0, $"No kit is {state}."));
    }

    [Fact]
    public async Task Seed_WhenDatabaseIsEmpty_HasReckonedWhatTheProjectsLack()
    {
        Guid member;
        await using (GuildDbContext db = demo.Guild.Look())
        {
            member = await db.People.Where(p => p.Role == Role.Member).OrderBy(p => p.Id).Select(p => p.Id).FirstAsync(Cancellation);
            Plan waits = await db.Plans.SingleAsync(p => p.State == PlanState.Waiting, Cancellation);
            Assert.Equal(PlanPurpose.Room, waits.Purpose);
        }

        WantedSheet sheet = await demo.Guild.DoAsync<WantedReader, WantedSheet>(u => u.RunAsync(member, Cancellation));
        Assert.NotNull(sheet.AsOf);
        Assert.NotEmpty(sheet.Lines);
        Assert.False(sheet.IsRunning);
    }

    [Fact]
    public async Task SignIn_WhenTheDemosPasswordIsUsed_OpensEveryAccount()
    {
        string password = (await DemoScenario.ReadAsync(DemoScenario.DefaultFolder, Cancellation)).Password;
        await demo.Guild.UseAsync<UserManager<Person>, bool>(async people =>
        {
            foreach (Person person in await people.Users.ToListAsync(Cancellation))
            {
                Assert.True(await people.CheckPasswordAsync(person, password), person.Email);
            }

            return true;
        });
    }

    [Theory]
    [InlineData(Role.Member, "MyYarn,Projects")]
    [InlineData(Role.Volunteer, "Sort,Inspect,Returns,Prepare,Late")]
    public async Task Home_WhenTheDemoIsNew_HasSomethingToDoForEachRole(Role role, string sections)
    {
        await using GuildDbContext db = demo.Guild.Look();
        Guid first = await db.People.Where(p => p.Role == role).OrderBy(p => p.Id).Select(p => p.Id).FirstAsync(Cancellation);
        HomeView home = await demo.Guild.DoAsync<HomeReader, HomeView>(u => u.RunAsync(first, Cancellation));
        Assert.All(sections.Split(','), section => Assert.Contains(home.Lists, l => l.Section.ToString() == section));
    }
}
