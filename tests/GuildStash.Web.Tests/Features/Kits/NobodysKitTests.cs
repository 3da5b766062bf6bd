using System.Security.Claims;
using Bunit;
using GuildStash.TestSupport;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Features;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Home;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Components.Authorization;
using Xunit;
using static GuildStash.Web.Tests.Features.Kits.KitRoom;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>Kits that nobody makes yet: whoever put them together does not hold their yarn.</summary>
public sealed class NobodysKitTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Figures_WhileNobodyMakesIt_AreNotOfWhoPutItTogether()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(150), 100)]);
        await room.Desk.OwnerSqlAsync($"update hold set expires_at = now() + interval '2 days'");

        Assert.Equal((0, 0, 0), await OwnAsync(room));
        HomeView home = await HomeAsync(room);
        Assert.DoesNotContain(home.Lists, l => l.Section == HomeSection.MyHolds);
        foreach (HomeSection section in (HomeSection[])[HomeSection.Prepare, HomeSection.Lapsing])
        {
            HomeEntry row = Assert.Single(Assert.Single(home.Lists, l => l.Section == section).Rows);
            Assert.Equal((kit.Number, ""), (row.Code, row.Name));
        }

        Ok(await room.UseAsync<TakeKit, bool>(u => u.RunAsync(room.Desk.Volunteer, kit.Id, Cancellation)));

        Assert.Equal((1, 1, 1), await OwnAsync(room));
        Assert.Equal(kit.RequestNumber, Assert.Single(Assert.Single((await HomeAsync(room)).Lists, l => l.Section == HomeSection.MyHolds).Rows).Code);
    }

    [Fact]
    public async Task Account_WhenItIsSwitchedOff_LeavesNoHoldOfAKitThatNobodyMakes()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        await room.KitAsync([(lot, 100)]);
        await room.Desk.HoldAsync(lot, 20, by: room.Desk.Volunteer);

        DisabledPerson left = Ok(await room.UseAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Desk.Guild.Administrator, room.Desk.Volunteer, Cancellation)));

        Assert.Equal((1, 20_000), (left.HoldCount, Assert.Single(left.Holds).Mg));
    }

    [Fact]
    public async Task Desk_WhileNobodyMakesIt_LeadsToTheKitAndHandsNothingOver()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        KitView nobodys = await room.KitAsync([(lot, 60)], pieces: 2);
        KitView members = await room.KitAsync([(lot, 30)], member: room.Desk.Member);
        Enter(room.Desk, room.Desk.Volunteer);

        IRenderedComponent<HandOverPage> page = Open<HandOverPage>("/hand-over");

        Says(page, $"Kit {nobodys.Number} nobody makes it yet");
        AngleSharp.Dom.IElement card = Assert.Single(page.FindAll("article"), a => a.TextContent.Contains(nobodys.Number, StringComparison.Ordinal));
        Assert.Equal($"Say who makes it {nobodys.Number}", Words(card.QuerySelectorAll($"a.btn[href='/kits/{nobodys.Number}']")));
        Assert.Contains("2 × Hat", Words([card]), StringComparison.Ordinal);
        Assert.DoesNotContain("Vera", card.TextContent, StringComparison.Ordinal);
        Assert.Empty(card.QuerySelectorAll("button, input, a[href^='/print']"));
        AngleSharp.Dom.IElement other = Assert.Single(page.FindAll("article"), a => a.TextContent.Contains(members.Number, StringComparison.Ordinal));
        Assert.Contains("Mia Member", other.TextContent, StringComparison.Ordinal);
        Assert.Single(other.QuerySelectorAll($"a[href='/kits/{members.Number}']"));

        await page.OnAsync($"#hold-{members.Lines[0].HoldId:N}-grams", e => e.Input("30"));
        await page.OnAsync($"#hold-{members.Lines[0].HoldId:N}", e => e.Submit());
        Says(page, $"30 g of lot {lot.Display} are handed over");
        Assert.Equal(KitState.AtHome, (await room.LookAsync(members.Number)).State);
    }

    [Fact]
    public async Task ProjectYarn_WhenAMemberTookAndMadeOne_NamesThemAndNotWhoPlanned()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        KitView made = await room.KitAsync([(lot, 50)]);
        await room.KitAsync([(lot, 40)]);
        Ok(await room.UseAsync<TakeKit, bool>(u => u.RunAsync(room.Desk.Member, made.Id, Cancellation)));
        Assert.Equal(["Mia Member"], await WhoAsync(room));

        Ok(await room.WeighAsync(made.Lines[0], 50));
        Ok(await room.HandOverAsync(made));
        Ok(await room.FinishAsync(made, 1, nothingLeft: true));

        Assert.Equal(["Mia Member"], await WhoAsync(room));
    }

    [Fact]
    public async Task Desk_WhenAKitsNumberIsTyped_FindsItsRequest()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        KitView kit = await room.KitAsync([(lot, 60)]);
        await room.Desk.HoldAsync(lot, 20);

        PageOf<WaitingRequest> found = Ok(await room.UseAsync<HandOverReader, PageOf<WaitingRequest>>(u => u.WaitingAsync(room.Desk.Volunteer, kit.Number, new PageRequest(), Cancellation)));

        Assert.Equal([kit.RequestId], found.Items.Select(r => r.Id));
    }

    /// <summary>What the volunteer, who put the kit together, holds by the menu, by the list of people, and by the lot on the table.</summary>
    private static async Task<(int Menu, int People, int Table)> OwnAsync(KitRoom room)
    {
        Guid me = room.Desk.Volunteer;
        WaitingCounts counts = await room.Desk.Guild.UseAsync<GuildWork, WaitingCounts>(work => new WaitingCountsReader(work, new SignedIn(new Somebody(me))).ReadAsync(Cancellation));
        PageOf<PersonView> people = Ok(await room.UseAsync<PeopleReader, PageOf<PersonView>>(u => u.ListAsync(room.Desk.Coordinator, new PeopleFilter(), new PageRequest(), Cancellation)));
        string code = await room.Desk.AskAsync(db => Task.FromResult(db.Lots.Select(l => l.Code).First()));
        LotAtTable table = Ok(await room.UseAsync<LotAtTableReader, LotAtTable>(u => u.RunAsync(me, code, Cancellation)));
        return (counts.MyYarn ?? -1, people.Items.Single(p => p.Id == me).OpenHolds, table.Holders.Count);
    }

    private static async Task<IReadOnlyList<string>> WhoAsync(KitRoom room) =>
        Assert.Single(Ok(await room.UseAsync<ProjectReader, PageOf<ProjectYarn>>(u => u.YarnAsync(room.Desk.Volunteer, room.Project, new PageRequest(), Cancellation))).Items).People;

    private static async Task<HomeView> HomeAsync(KitRoom room) => Ok(await room.UseAsync<HomeReader, HomeView>(u => u.RunAsync(room.Desk.Volunteer, Cancellation)));

    private sealed class Somebody(Guid id) : AuthenticationStateProvider
    {
        public override Task<AuthenticationState> GetAuthenticationStateAsync() =>
            Task.FromResult(new AuthenticationState(new ClaimsPrincipal(new ClaimsIdentity([new Claim(ClaimTypes.NameIdentifier, id.ToString())], "test"))));
    }
}
