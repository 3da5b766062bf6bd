using AngleSharp.Dom;
using Bunit;
using GuildStash.Data.Stock;
using GuildStash.Printing;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

/// <summary>The list of bins, a bin's own page and the pages that make and change one, on a real database.</summary>
public sealed class BinPagesTests(BinPagesRoom shared) : DeskPages, IClassFixture<BinPagesRoom>
{
    private readonly DeskRoom _room = shared.Desk;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Search_WhenWordsAreTyped_GoesIntoTheAddressAndKeepsThemForClosedOnes()
    {
        Come(_room.Member);
        IRenderedComponent<BinsPage> page = Open<BinsPage>("/bins");
        page.WaitForElement("table", RoomPages.Patience);

        await page.OnAsync("#bins-q", e => e.Change(" harbour "));
        await page.OnAsync("#bin-search", e => e.Submit());

        Assert.EndsWith("/bins?q=harbour", Navigation.Uri, StringComparison.Ordinal);
        Says(page, "tbody .name", "Harbour blues");
        Says(page, "1 bin");
        Assert.Equal("harbour", page.Find("#bins-q").GetAttribute("value"));
        Assert.Equal("/bins?q=harbour&closed=yes", page.Find("a.chip").GetAttribute("href"));
        Navigation.NavigateTo("/bins?q=harbour&closed=yes");
        Says(page, "tbody .name", "Harbour blues Harbour greys closed");
        Assert.Equal(("true", "/bins?q=harbour"), (page.Find("a.chip").GetAttribute("aria-current"), page.Find("a.chip").GetAttribute("href")));

        await page.OnAsync("#bins-q", e => e.Change("no such words"));
        await page.OnAsync("#bin-search", e => e.Submit());
        Says(page, ".empty h2", "No bin fits");
        Assert.Equal("/bins", page.Find(".empty a").GetAttribute("href"));
    }

    [Fact]
    public async Task Choose_WhenBinsAreTicked_OpensTheirLabelsOnTheChosenSheet()
    {
        Come(_room.Volunteer);
        IRenderedComponent<BinsPage> page = Open<BinsPage>("/bins?q=loft");
        page.WaitForElement("table", RoomPages.Patience);
        Assert.Empty(page.FindAll(".panel.print"));

        await page.OnAsync("td.choose input", e => e.Change(true));
        Says(page, ".panel.print h2", "Label for 1 bin");
        await page.OnAsync("th.choose input", e => e.Change(true));
        Says(page, ".panel.print h2", "Labels for 2 bins");
        await page.OnAsync("#labels-sheet", e => e.Change(LabelSheetLayout.A4Of8.Key));
        string codes = string.Join(',', page.FindAll("tbody a.code").Select(a => a.GetAttribute("href")!["/bins/".Length..]));
        page.WaitForAssertion(() => Assert.Equal($"/print/bin-labels.pdf?sheet={LabelSheetLayout.A4Of8.Key}&codes={codes}", page.Find(".panel.print .actions a").GetAttribute("href")), RoomPages.Patience);

        await page.OnAsync("th.choose input", e => e.Change(false));
        page.WaitForAssertion(() => Assert.Empty(page.FindAll(".panel.print")), RoomPages.Patience);
        await page.OnAsync("td.choose input", e => e.Change(true));
        await PressAsync(page, "Choose none");
        page.WaitForAssertion(() => Assert.Empty(page.FindAll(".panel.print, tr[aria-selected=true]")), RoomPages.Patience);
    }

    [Theory]
    [InlineData("member", "", 0, false)]
    [InlineData("volunteer", "/counts /print /bins/new", 2, false)]
    [InlineData("coordinator", "/counts /print /bins/new", 2, true)]
    public void List_WhenOfSeveralSites_StandsBySiteAndOffersWhatTheRoleMay(string role, string links, int choices, bool addsSites)
    {
        Come(role switch { "member" => _room.Member, "volunteer" => _room.Volunteer, _ => _room.Coordinator });
        IRenderedComponent<BinsPage> page = Open<BinsPage>("/bins");

        Says(page, "section.site h2", "Attic Main room");
        Assert.Equal(links, string.Join(' ', page.FindAll(".head .actions a").Select(a => a.GetAttribute("href"))));
        Assert.Equal(choices, page.FindAll("th.choose input").Count);
        Assert.Equal(addsSites, page.FindAll("#site-name").Count == 1);
    }

    [Fact]
    public async Task AddSite_WhenItsNameIsTaken_SaysSoAtTheFieldAndElseListsIt()
    {
        Come(_room.Coordinator);
        IRenderedComponent<SitePanel> panel = Open<SitePanel>("/bins");
        Says(panel, "li:first-child", "Attic");

        await panel.OnAsync("#site-name", e => e.Change("Attic"));
        await panel.OnAsync("#site", e => e.Submit());
        Says(panel, "#site-name-error", "There is a site of that name already.");
        Assert.Empty(panel.FindAll("[role=status]"));
        Assert.Equal("Attic", panel.Find("#site-name").GetAttribute("value"));

        // A name that stands last, so that the other tests' lists stay as they are.
        await panel.OnAsync("#site-name", e => e.Change("Wharf house"));
        await panel.OnAsync("#site", e => e.Submit());
        Says(panel, "[role=status]", "Wharf house is added.");
        Says(panel, "li:last-child", "Wharf house");
        Assert.True(string.IsNullOrEmpty(panel.Find("#site-name").GetAttribute("value")));
        Assert.Empty(panel.FindAll("#site-name-error"));
    }

    [Fact]
    public async Task Bin_WhenAVolunteerPutsALotIn_TellsItUntilTheNextThingBegins()
    {
        BinView bin = await _room.Guild.BinAsync("Morning reds");
        LotView lot = await _room.LotAsync(120);
        Come(_room.Volunteer);
        IRenderedComponent<BinPage> page = Bin(bin.Code.ToLowerInvariant());
        Says(page, ".empty h2", "This bin is empty");
        Assert.Equal([$"/bins/{bin.Code}?do=count", $"/bins/{bin.Code}?do=put"], Links(page));
        Assert.Empty(page.FindAll("#put-codes"));

        Navigation.NavigateTo($"/bins/{bin.Code}?do=put");
        await page.OnAsync("#put-codes", e => e.Change(lot.Display));
        await page.OnAsync("#put-here", e => e.Submit());
        await PressAsync(page, $"Put 1 lot into {bin.Display}");

        Says(page, $"1 lot is in bin {bin.Display} now.");
        Says(page, ".stats dd", "1 120 g");
        Says(page, ".lot-rows small.code", lot.Display);
        Assert.Equal([$"/bins/{bin.Code}"], Links(page));
        Navigation.NavigateTo($"/bins/{bin.Code}");
        page.WaitForAssertion(() => Assert.Empty(page.FindAll("#put-codes")), RoomPages.Patience);
        Assert.Contains($"1 lot is in bin {bin.Display} now.", Words(page.Nodes), StringComparison.Ordinal);
        Navigation.NavigateTo($"/bins/{bin.Code}?do=count");
        page.WaitForAssertion(() => Assert.DoesNotContain("now.", Words(page.FindAll("[role=status]")), StringComparison.Ordinal), RoomPages.Patience);
        Assert.Empty(page.FindAll(".stats, .lot-rows"));
    }

    [Fact]
    public async Task Bin_WhenAMemberOpensIt_ShowsWhatLiesThereAndNoWork()
    {
        LotView lot = await _room.LotAsync(240, l => l with { BinCode = shared.Blues.Code });
        Come(_room.Member);

        IRenderedComponent<BinPage> page = Bin(shared.Blues.Code, "?do=put");

        Says(page, ".lot-rows small.code", lot.Display);
        Says(page, "Harbour blues · Main room · shelf 2");
        Says(page, ".below-stats", "about 15 % full never counted");
        Assert.Empty(page.FindAll("#put-codes, .actions a"));
        IRenderedComponent<BinPage> none = Bin("82D-F");
        Says(none, "h1", "There is no such bin");
        Assert.Equal("/inventory", none.Find(".empty a").GetAttribute("href"));
    }

    [Fact]
    public async Task Bin_WhenItIsClosedOrForQuarantine_SaysWhatItTakes()
    {
        LotView lot = await _room.LotAsync(100);
        HandedOver home = await _room.TakenHomeAsync(lot, 90);
        await _room.TryTakeBackAsync(home.Id, new ReturnInput(40));
        string apart = await _room.AskAsync(db => db.LotReturns.Where(r => r.LotId == lot.Id).Select(r => db.Bins.Where(b => b.Id == r.QuarantineBinId).Select(b => b.Code).Single()).SingleAsync(Cancellation));
        Come(_room.Volunteer);

        IRenderedComponent<BinPage> closed = Bin(shared.Closed.Code, "?do=count");
        Says(closed, "This bin is closed: it takes no yarn.");
        Assert.Equal([$"/bins/{shared.Closed.Code}/edit"], Links(closed));
        Assert.Empty(closed.FindAll("form"));

        IRenderedComponent<BinPage> quarantine = Bin(apart);
        Says(quarantine, "Quarantine: nothing leaves this bin before its inspection is written down.");
        Says(quarantine, "Leftovers that came back wait here for an inspection: 40 g in one return.");
        Assert.Empty(quarantine.FindAll(".empty"));
    }

    [Fact]
    public async Task Edit_WhenSaved_LeadsToTheBinAndAnotherPagesOldFormIsRefused()
    {
        BinView bin = await _room.Guild.BinAsync("Evening reds");
        Come(_room.Volunteer);
        IRenderedComponent<EditBinPage> page = Edit(bin.Code);
        IRenderedComponent<EditBinPage> old = Edit(bin.Code);
        old.WaitForElement("#name", RoomPages.Patience);

        await page.OnAsync("#name", e => e.Change(""));
        await page.OnAsync("#bin", e => e.Submit());
        Says(page, "#name-error", "This is needed. Fill it in.");
        Assert.EndsWith("/edit", Navigation.Uri, StringComparison.Ordinal);
        await page.OnAsync("#name", e => e.Change("Evening rose"));
        await page.OnAsync("#litres", e => e.Input("40"));
        await page.OnAsync("#bin", e => e.Submit());
        page.WaitForAssertion(() => Assert.EndsWith($"/bins/{bin.Code}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        await old.OnAsync("#name", e => e.Change("Evening crimson"));
        await old.OnAsync("#bin", e => e.Submit());

        Says(old, "Somebody else changed this bin meanwhile.");
        BinView now = await _room.Guild.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(_room.Member, bin.Code, Cancellation));
        Assert.Equal(("Evening rose", 40m), (now.Name, now.Litres));
        IRenderedComponent<EditBinPage> none = Edit("82D-F");
        Says(none, "h1", "There is no such bin");
        Assert.Equal("/bins", none.Find(".empty a").GetAttribute("href"));
    }

    [Fact]
    public async Task Close_WhenLotsLieInIt_IsRefusedAndAnEmptyOneClosesAndReopens()
    {
        BinView full = await _room.Guild.BinAsync("Noon reds");
        BinView empty = await _room.Guild.BinAsync("Noon greens");
        await _room.LotAsync(50, l => l with { BinCode = full.Code });
        Come(_room.Volunteer);

        IRenderedComponent<EditBinPage> page = Edit(full.Code);
        await PressAsync(page, "Close the bin");
        Says(page, $"Bin {full.Display} still has lots. Move them first.");
        Assert.EndsWith("/edit", Navigation.Uri, StringComparison.Ordinal);
        Assert.False(await IsClosedAsync(full));

        page = Edit(empty.Code);
        await PressAsync(page, "Close the bin");
        page.WaitForAssertion(() => Assert.EndsWith($"/bins/{empty.Code}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Assert.True(await IsClosedAsync(empty));
        page = Edit(empty.Code);
        Says(page, "Closed: it takes no yarn until it is reopened.");
        await PressAsync(page, "Reopen the bin");
        page.WaitForAssertion(() => Assert.EndsWith($"/bins/{empty.Code}", Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Assert.False(await IsClosedAsync(empty));
    }

    [Fact]
    public async Task New_WhenABinIsMade_OffersItsLabelAndAnEmptyFormForTheNext()
    {
        Come(_room.Volunteer);
        IRenderedComponent<NewBinPage> page = Open<NewBinPage>("/bins/new");
        page.WaitForElement("#siteId option", RoomPages.Patience);

        await page.OnAsync("#bin", e => e.Submit());
        Says(page, "#name-error", "This is needed. Fill it in.");
        Assert.Empty(page.FindAll(".made"));
        await page.OnAsync("#name", e => e.Change("Night blacks"));
        await page.OnAsync("#place", e => e.Change("by the door"));
        await page.OnAsync("#kind", e => e.Change(nameof(BinKind.Quarantine)));
        await page.OnAsync("#bin", e => e.Submit());

        page.WaitForElement(".made", RoomPages.Patience);
        Bin made = await _room.AskAsync(db => db.Bins.SingleAsync(b => b.Name == "Night blacks", Cancellation));
        Assert.Equal(("by the door", BinKind.Quarantine), (made.Place, made.Kind));
        Assert.Equal("Main room", await _room.AskAsync(db => db.Sites.Where(s => s.Id == made.SiteId).Select(s => s.Name).SingleAsync(Cancellation)));
        Assert.Equal([$"/print/bin-label/{made.Code}.pdf", $"/bins/{made.Code}", "/bins"], page.FindAll(".made a").Select(a => a.GetAttribute("href")));
        Says(page, ".made p:not(.actions)", "Night blacks, by the door");
        page.WaitForAssertion(() => Assert.All(page.FindAll("#name, #place"), e => Assert.True(string.IsNullOrEmpty(e.GetAttribute("value")))), RoomPages.Patience);
        Assert.Empty(page.FindAll("#name-error"));
    }

    private void Come(Guid person)
    {
        Ui.Services.AddSingleton(new AppSettings("", "https://room.example.org"));
        Enter(_room, person);
    }

    private IRenderedComponent<BinPage> Bin(string code, string query = "") => Open<BinPage>($"/bins/{code}{query}", p => p.Add(b => b.Code, code));

    private IRenderedComponent<EditBinPage> Edit(string code) => Open<EditBinPage>($"/bins/{code}/edit", p => p.Add(b => b.Code, code));

    private static IEnumerable<string?> Links(IRenderedComponent<BinPage> page) => page.FindAll(".head .actions a").Select(a => a.GetAttribute("href"));

    private Task<bool> IsClosedAsync(BinView bin) => _room.AskAsync(db => db.Bins.AnyAsync(b => b.Id == bin.Id && b.ClosedAt != null, Cancellation));
}

/// <summary>A room with bins on two sites, one of them closed.</summary>
public sealed class BinPagesRoom(PostgresFixture postgres) : IAsyncLifetime
{
    public DeskRoom Desk { get; private set; } = null!;

    /// <summary>20 litres on a shelf, with nothing in it yet.</summary>
    public BinView Blues { get; private set; } = null!;

    public BinView Closed { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        Desk = await DeskRoom.OpenAsync(postgres);
        Guid attic = await Desk.Guild.DoAsync<CreateSite, Guid>(u => u.RunAsync(Desk.Coordinator, "Attic", GuildRoom.Cancellation));
        Guid main = await Desk.AskAsync(db => db.Sites.Where(s => s.Name == "Main room").Select(s => s.Id).SingleAsync(GuildRoom.Cancellation));
        Blues = await MakeAsync("Harbour blues", main, "shelf 2", 20);
        Closed = await MakeAsync("Harbour greys", main, "", null);
        await MakeAsync("Loft whites", attic, "", null);
        await MakeAsync("Loft browns", attic, "", null);
        await Desk.Guild.DoAsync<CloseBin, bool>(u => u.RunAsync(Desk.Volunteer, Closed.Id, true, GuildRoom.Cancellation));
    }

    public ValueTask DisposeAsync() => Desk.DisposeAsync();

    private Task<BinView> MakeAsync(string name, Guid site, string place, decimal? litres) =>
        Desk.Guild.DoAsync<CreateBin, BinView>(u => u.RunAsync(Desk.Volunteer, new BinInput(name, BinKind.Shelf, site, place, litres, null), GuildRoom.Cancellation));
}
