using AngleSharp.Dom;
using Bunit;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Features;
using GuildStash.Web.Features.Home;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Pieces;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Features.Kits;
using GuildStash.Web.Tests.Support;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Home;

/// <summary>The start page and the counts in the menu, on a real database.</summary>
public sealed class HomeViewTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Show_WhenYarnIsLate_SaysWhoHasItSinceWhenAndLeadsThere()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(500);
        await room.TakenHomeAsync(lot, 40);
        await room.OwnerSqlAsync($"update checkout set due_on = date '2026-01-09'");

        IRenderedComponent<HomePage> page = OpenHome(room, room.Volunteer);

        Says(page, "#home-late", "Yarn that is late");
        IElement line = page.Find("#home-late").ParentElement!.ParentElement!.QuerySelector("li a")!;
        Assert.StartsWith($"Mia Member late since 9 Jan 2026 {lot.Display} · 40 g · taken ", Words([line]), StringComparison.Ordinal);
        Assert.Equal($"/hand-over?tab=home&late=true&q={lot.Code}", line.GetAttribute("href"));
    }

    [Fact]
    public async Task Show_WhenTheRoomIsNew_LeadsToTheFirstStepsAndToTheFormOfAGift()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        IRenderedComponent<HomePage> page = OpenHome(room, room.Coordinator);

        Says(page, "#home-firststeps", "First steps");
        IElement[] lines = [.. page.Find("#home-firststeps").ParentElement!.ParentElement!.QuerySelectorAll("li a")];
        Assert.Equal(["/bins/new", "/print", "/pieces"], lines.Select(line => line.GetAttribute("href")));
        Assert.Equal("Make the bins shelves, boxes and drawers that the yarn will lie in", Words([lines[0]]));
        Assert.Equal("/intake/new", page.Find(".head .actions a").GetAttribute("href"));
    }

    [Fact]
    public async Task Show_WhenNobodyMakesAKitYet_NamesTheKitAndLeadsToIt()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);

        IRenderedComponent<HomePage> page = OpenHome(room.Desk, room.Desk.Volunteer);

        Says(page, "nobody makes it yet · 1 lot · 100 g");
        Assert.StartsWith(kit.Number, Words(page.FindAll($"a[href='/kits/{kit.Number}']")), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Show_WhenPlansAreToBeAskedAnew_SaysWhyAndLeadsThere()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await InterruptAsync(room);

        IRenderedComponent<HomePage> page = OpenHome(room, room.Coordinator);

        Says(page, "#home-plans", "Plans to ask anew");
        IElement[] lines = [.. page.Find("#home-plans").ParentElement!.ParentElement!.QuerySelectorAll("li a")];
        Assert.Equal(
            ["Yarn wanted for 4 days what is said to be lacking was reckoned long ago", "P-2026-0007 since yesterday Hats for the harbour · interrupted before it had an answer"],
            lines.Select(line => Words([line])));
        Assert.Equal("/wanted", lines[0].GetAttribute("href"));
        Assert.StartsWith("/plans/", lines[1].GetAttribute("href"), StringComparison.Ordinal);
    }

    /// <summary>An old reckoning of what an open project lacks, and a plan that ended with the program.</summary>
    private static async Task InterruptAsync(DeskRoom room)
    {
        Guid project = await room.ProjectAsync();
        await room.OwnerSqlAsync($"update guild set time_zone = 'UTC'");
        await room.Guild.DoAsync<BeginPieceBook, int>(u => u.RunAsync(room.Volunteer, Cancellation));
        await room.OwnerSqlAsync($"insert into wanted_piece (id, project_id, piece_id, name, wanted, priority, position, notes) select gen_random_uuid(), {project}, min(id::text)::uuid, 'Hat', 3, 1, 0, '' from piece");
        await room.Guild.WantAsync(DateTimeOffset.UtcNow.AddDays(-4));
        await room.OwnerSqlAsync($"""
            insert into plan (id, number, name, purpose, ask, state, trouble, created_at, ended_at, created_by_id, version)
            values (gen_random_uuid(), 'P-2026-0007', 'Hats for the harbour', 'Room', jsonb_build_object(), 'Interrupted', '', now() - interval '1 day', now() - interval '1 day', {room.Coordinator}, 1)
            """);
    }

    [Fact]
    public async Task Show_WhenNothingPresses_SaysWhatComesFirst()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        Says(OpenHome(room, room.Member), ".empty a", "Find yarn");
    }

    [Fact]
    public async Task Show_WhenAnAdministratorLeftThePublicAddressOpen_SaysSoToThemAlone()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        IRenderedComponent<HomePage> page = OpenHome(room, room.Guild.Administrator, "administrator");

        Says(page, ".note", "The QR codes on labels point to http://localhost, which opens on nobody's phone. Start GuildStash with the address that phones reach: --public-url");
    }

    [Fact]
    public async Task Count_WhenSomethingIsBookedOnThePage_TheMenuFollowsWithoutNavigation()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Ui.Services.AddScoped<IWaitingCounts, WaitingCountsReader>();
        Enter(room, room.Volunteer);
        IRenderedComponent<StationMenu> menu = Ui.Render<StationMenu>();
        Assert.Empty(menu.FindAll("a[href='/sorting'] .waiting"));

        LogGift log = Ui.Services.GetRequiredService<LogGift>();
        await log.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(1000, 50, [])] }, Cancellation);

        menu.WaitForAssertion(() => Assert.Equal("1", menu.Find("a[href='/sorting'] .waiting").FirstChild!.TextContent), RoomPages.Patience);
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(500);
        await room.HoldAsync(lot, 60);
        await room.OwnerSqlAsync($"update hold set expires_at = now() + interval '2 days'");
        await room.TakenHomeAsync(lot, 40);
        await room.OwnerSqlAsync($"update checkout set due_on = current_date - 2");
        await room.LotAsync(50, null, "damp");
        await room.LotAsync(50, null, "smoke");
        await InterruptAsync(room);
        Read(PseudoLanguage.CultureName);

        IRenderedComponent<HomePage> page = OpenHome(room, room.Coordinator);

        page.WaitForElement("#home-late", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(page.Markup));
    }

    private IRenderedComponent<HomePage> OpenHome(DeskRoom room, Guid person, string? role = null)
    {
        Ui.Services.AddScoped<IWaitingCounts, WaitingCountsReader>();
        Ui.Services.AddSingleton(new AppSettings(room.Guild.AppConnectionString, null));
        Enter(room, person);
        if (role is not null)
        {
            Person.SignIn(person, role);
        }

        return Open<HomePage>("/");
    }
}
