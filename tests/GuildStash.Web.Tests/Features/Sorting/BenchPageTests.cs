using Bunit;
using GuildStash.Domain.Intake;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

/// <summary>The bench as a volunteer uses it, on a real database.</summary>
public sealed partial class BenchPageTests(PostgresFixture postgres) : ShellTest
{
    private static Task<LoggedGift> LogAsync(GuildRoom room, params string[] conditions) =>
        room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(1050, 50, conditions)] }, GuildRoom.Cancellation));

    private IRenderedComponent<BenchPage> Open(GuildRoom room, Guid bagId)
    {
        Ui.UseRoom(room);
        Person.SignIn(room.Volunteer);
        Use(Domain.People.LengthUnit.Yards);
        IRenderedComponent<BenchPage> page = Ui.Render<BenchPage>(p => p.Add(b => b.BagId, bagId));
        page.WaitForElement("h1", RoomPages.Patience);
        return page;
    }

    private static async Task SaveAsync(IRenderedComponent<BenchPage> page, string? wraps, string? grams)
    {
        if (wraps is not null)
        {
            await page.OnAsync("[id='wraps.count']", e => e.Input(wraps));
        }

        if (grams is not null)
        {
            await page.OnAsync("#grams", e => e.Input(grams));
        }

        await page.OnAsync("#ball", e => e.Submit());
    }

    private static void Await(IRenderedComponent<BenchPage> page, Action assertion) => page.WaitForAssertion(assertion, RoomPages.Patience);

    [Fact]
    public async Task Sort_WhenTwoBallsAreEntered_RowsAppearAndTheSecondKeepsWhatStays()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await page.OnAsync("#fibres", e => e.Change("CO"));
        await page.OnAsync("#putUp", e => e.Change("Skein"));

        await SaveAsync(page, "13", "96,5");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        Await(page, () => Assert.Equal("", page.Find("#grams").GetAttribute("value")));
        Await(page, () => Assert.Equal("CO", page.Find("#fibres").GetAttribute("value")));
        await SaveAsync(page, "9", "150");
        Await(page, () => Assert.Equal(2, page.FindAll(".lots-table tbody tr").Count));

        Await(page, () => Assert.Contains("246.5 g of 1 kg sorted, 2 lots", Spaces.Plain(page.Find(".sub").TextContent), StringComparison.Ordinal));
        await using var db = room.Look();
        var lots = await db.Lots.OrderBy(l => l.CreatedAt).ToListAsync(GuildRoom.Cancellation);
        Assert.Equal([96_500, 150_000], lots.Select(l => l.OnHandMg));
        Assert.All(lots, l => Assert.Equal((PutUp.Skein, "CO"), (l.PutUp, Assert.Single(l.FibreCodes))));
        Assert.Contains(Domain.Codes.LotCode.Parse(lots[1].Code).Value.Display, page.Find(".said").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Save_WhenGramsAreMissing_SaysSoBesideTheFieldAndSavesNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);

        await SaveAsync(page, "13", null);

        Await(page, () => Assert.Contains("Enter the grams", page.Find("#grams-error").TextContent, StringComparison.Ordinal));
        await using var db = room.Look();
        Assert.Equal(0, await db.Lots.CountAsync(GuildRoom.Cancellation));
    }

    [Fact]
    public async Task Undo_WhenALotWasAMistake_TakesItBackAndPutsItsFieldsIntoTheRow()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "15");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));

        await page.OnAsync("button[aria-label^=Undo]", e => e.Click());

        Await(page, () => Assert.Empty(page.FindAll(".lots-table tbody tr")));
        Await(page, () => Assert.Equal("15", page.Find("#grams").GetAttribute("value")));
        await SaveAsync(page, null, "150");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        Await(page, () => Assert.Contains("150 g of 1 kg sorted, 1 lot ", Spaces.Plain(page.Find(".sub").TextContent), StringComparison.Ordinal));
    }

    [Fact]
    public async Task Edit_WhenSomebodyElseWasFaster_SaysSoAndLoadsThePresentState()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "96");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        await page.OnAsync("[id='wraps.count']", e => e.Input("20"));
        await page.OnAsync("button[aria-label^=Edit]", e => e.Click());
        Await(page, () => Assert.Equal("13", page.Find("[id='wraps.count']").GetAttribute("value")));

        LotView lot = (await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Volunteer, gift.Bags[0].Id, 10, GuildRoom.Cancellation))).Latest[0];
        await room.DoAsync<EditLot, LotView>(u => u.RunAsync(room.Coordinator, lot.Id, lot.Version, new LotInput { Wraps = new WrapsInput(16, 1) }, GuildRoom.Cancellation));
        await page.OnAsync("#ball", e => e.Submit());

        Await(page, () => Assert.Contains("Somebody else changed this lot", page.Find("form [role=alert]").TextContent, StringComparison.Ordinal));
        await page.PressAsync("Load the present state");
        Await(page, () => Assert.Equal("16", page.Find("[id='wraps.count']").GetAttribute("value")));
        await page.OnAsync("#ball", e => e.Submit());
        Await(page, () => Assert.Contains("was changed", page.Find(".said").TextContent, StringComparison.Ordinal));
        Await(page, () => Assert.Equal("20", page.Find("[id='wraps.count']").GetAttribute("value")));
    }

    [Fact]
    public async Task Weigh_WhenALotWasEnteredWithoutAScale_GetsItsGramsLater()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await page.OnAsync(".no-scale input", e => e.Change(true));
        await SaveAsync(page, "13", null);
        Await(page, () => Assert.Contains("not weighed", page.Find(".lots-table").TextContent, StringComparison.Ordinal));

        await page.OnAsync("button[aria-label^=Weigh]", e => e.Click());
        await page.OnAsync("#weigh-grams", e => e.Input("80"));
        await page.OnAsync("#weigh", e => e.Submit());

        Await(page, () => Assert.Contains("80 g of 1 kg sorted", Spaces.Plain(page.Find(".sub").TextContent), StringComparison.Ordinal));
        Await(page, () => Assert.Empty(page.FindAll("#weigh")));
    }

    [Fact]
    public async Task Close_WhenSomethingIsLeft_ShowsTheDifferenceBeforeAndSaysItAfter()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "960");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));

        await page.PressAsync("Close the bag");
        Await(page, () => Assert.NotEmpty(page.FindAll(".sum")));
        Assert.Equal(["1,000 g", "960 g", "40 g"], page.FindAll(".sum dd").Select(d => Spaces.Plain(d.TextContent)));
        Assert.Contains("as sorting waste", page.Find(".close-bag").TextContent, StringComparison.Ordinal);
        await page.PressAsync("Close bag 1 and book the difference");

        Await(page, () => Assert.Contains("40 g were booked as sorting waste", Spaces.Plain(page.Find(".said").TextContent), StringComparison.Ordinal));
        Await(page, () => Assert.Empty(page.FindAll("#ball")));
    }

    [Fact]
    public async Task Close_WhenTheRestIsStuffing_BooksItSo()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "860");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        await page.PressAsync("Close the bag");
        Await(page, () => Assert.Equal(["waste", "passed on", "stuffing", "lost"], page.FindAll("#rest-1 option").Select(o => o.TextContent)));
        Assert.Equal("What it was (optional)", page.Find("label[for=rest-1-note]").TextContent);

        await page.OnAsync("#rest-1", e => e.Change("Stuffing"));
        Await(page, () => Assert.Equal("To whom, or for what (optional)", page.Find("label[for=rest-1-note]").TextContent));
        Await(page, () => Assert.Contains("as stuffing.", page.Find(".close-bag").TextContent, StringComparison.Ordinal));
        await page.OnAsync("#rest-1-note", e => e.Change("For bears."));
        await page.PressAsync("Close bag 1 and book the difference");

        Await(page, () => Assert.Contains("140 g were booked as stuffing", Spaces.Plain(page.Find(".said").TextContent), StringComparison.Ordinal));
        await using var db = room.Look();
        var rest = await db.Movements.SingleAsync(m => m.LotId == null && m.FromKind == Domain.Ledger.PlaceKind.Bag, GuildRoom.Cancellation);
        Assert.Equal((Domain.Ledger.PlaceKind.Stuffing, 140_000L, "For bears."), (rest.ToKind, rest.Mg, rest.Note));
    }

    [Fact]
    public async Task Close_WhenMoreThanABallIsLost_AsksAndSaysWhatIsMissingBesideTheField()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "860");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        await page.PressAsync("Close the bag");
        await page.OnAsync("#rest-1", e => e.Change("Lost"));
        Await(page, () => Assert.Contains("More than 50 g that are lost wait for a second person.", Spaces.Plain(page.Find(".close-bag").TextContent), StringComparison.Ordinal));
        await page.PressAsync("Close bag 1 and book the difference");
        Await(page, () => Assert.NotEmpty(page.FindAll("#rest-1-note-error, .close-bag .field-error")));

        await page.OnAsync("#rest-1-note", e => e.Change("Under the table, too."));
        await page.PressAsync("Close bag 1 and book the difference");

        Await(page, () => Assert.Contains("with 140 g lost waits for a second person", Spaces.Plain(page.Find(".said").TextContent), StringComparison.Ordinal));
        Assert.NotEmpty(page.FindAll("#ball"));
    }

    [Fact]
    public async Task Close_WhenABallIsNotSaved_SaysSoAndAsks()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "960");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        await page.PressAsync("Close the bag");
        Await(page, () => Assert.NotEmpty(page.FindAll(".sum")));
        Assert.DoesNotContain("a ball that is not saved", page.Find(".close-bag").TextContent, StringComparison.Ordinal);

        await page.OnAsync("#grams", e => e.Input("40"));
        await page.PressAsync("Close the bag");
        Await(page, () => Assert.Empty(page.FindAll(".sum")));
        await page.PressAsync("Close the bag");

        Await(page, () => Assert.Contains("a ball that is not saved", page.Find(".close-bag").TextContent, StringComparison.Ordinal));
        await page.PressAsync("Close bag 1 without that ball");
        Await(page, () => Assert.Contains("40 g were booked as sorting waste", Spaces.Plain(page.Find(".said").TextContent), StringComparison.Ordinal));
    }

    [Fact]
    public async Task Open_WhenTheBagStaysShut_OffersNoSorting()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room, "insects");
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);

        Await(page, () => Assert.Contains("This bag stays shut and is not sorted.", page.Markup, StringComparison.Ordinal));
        Assert.Empty(page.FindAll("#ball"));
        Assert.Contains("seal the bag", page.Markup, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Read_WhenTheBagIsUnknownOrThePersonAMember_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);

        var unknown = await room.UseAsync<BenchReader, Domain.Rules.Outcome<Bench>>(u => u.OneAsync(room.Volunteer, Guid.CreateVersion7(), 10, GuildRoom.Cancellation));
        var member = await room.UseAsync<BenchReader, Domain.Rules.Outcome<Bench>>(u => u.OneAsync(room.Member, gift.Bags[0].Id, 10, GuildRoom.Cancellation));

        Assert.Equal(Domain.Rules.RefusalKind.NotFound, unknown.Refusal.Kind);
        Assert.Equal(Domain.Rules.RefusalKind.Forbidden, member.Refusal.Kind);
    }

    [Fact]
    public async Task Read_WhenALotWasTakenBack_CountsOnlyThoseThatStay()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        Guid bag = gift.Bags[0].Id;
        async Task<LotView> Add(LotInput input) => await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, input, GuildRoom.Cancellation));
        LotView weighed = await Add(new LotInput { Grams = 100, ScaleDivisionGrams = 2 });
        LotView unweighed = await Add(new LotInput { MassUnknown = true });
        await Add(new LotInput { Grams = 50, ScaleDivisionGrams = 0.5m });
        foreach (LotView mistake in (LotView[])[weighed, unweighed])
        {
            await room.DoAsync<UndoLot, bool>(u => u.RunAsync(room.Volunteer, mistake.Id, GuildRoom.Cancellation));
        }

        Bench bench = await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Volunteer, bag, 10, GuildRoom.Cancellation));
        GiftView view = await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(room.Volunteer, gift.Id, GuildRoom.Cancellation));

        Assert.Equal((1, 1, 0, 500L), (bench.Lots, bench.OpenLots, bench.Unweighed, bench.ScaleDivisionMg));
        Assert.Equal((1, 0), (view.Bags[0].Lots, view.Bags[0].Unweighed));
        Assert.Equal(50_000, bench.SortedMg);
    }

    [Fact]
    public async Task Undo_WhenAnotherTabWasFaster_SaysTheBallIsGoneAndShowsTheListAsItIs()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> slow = Open(room, gift.Bags[0].Id);
        await SaveAsync(slow, "9", "150");
        Await(slow, () => Assert.Single(slow.FindAll(".lots-table tbody tr")));
        await SaveAsync(slow, "10", "80");
        Await(slow, () => Assert.Equal(2, slow.FindAll(".lots-table tbody tr").Count));
        LotView gone = (await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Volunteer, gift.Bags[0].Id, 10, GuildRoom.Cancellation))).Latest[^1];
        await slow.OnAsync($"button[aria-label='Edit {gone.Display}']", e => e.Click());
        await room.DoAsync<UndoLot, bool>(u => u.RunAsync(room.Volunteer, gone.Id, GuildRoom.Cancellation));

        await slow.OnAsync($"button[aria-label='Undo {gone.Display}']", e => e.Click());

        Await(slow, () => Assert.Equal($"{gone.Display} is gone already: it was taken back into the bag, perhaps in another window. The list is as it stands now.", slow.Find(".said").TextContent.Trim()));
        Await(slow, () => Assert.Single(slow.FindAll(".lots-table tbody tr")));
        Assert.Empty(slow.FindAll(".note[role=alert]"));
        Assert.Empty(slow.FindAll(".ball-row.editing"));
    }

    [Fact]
    public async Task Undo_WhenTheLotWasReservedMeanwhile_SaysWhyAndKeepsItsRow()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "9", "150");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        LotView lot = (await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Volunteer, gift.Bags[0].Id, 10, GuildRoom.Cancellation))).Latest[0];
        await room.HoldAsync(lot.Code, 20);

        await page.OnAsync($"button[aria-label='Undo {lot.Display}']", e => e.Click());

        Await(page, () => Assert.Contains("it was moved, reserved or handed out", page.Find(".note[role=alert]").TextContent, StringComparison.Ordinal));
        Assert.Single(page.FindAll(".lots-table tbody tr"));
    }
}
