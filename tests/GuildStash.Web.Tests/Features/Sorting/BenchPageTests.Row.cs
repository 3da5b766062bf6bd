using Bunit;
using GuildStash.Domain.Intake;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

/// <summary>What the row keeps in sight, lots that weigh more than their bag, and what a lot is called in lists and on labels.</summary>
public sealed partial class BenchPageTests
{
    [Fact]
    public async Task Close_WhenTheLotsWeighFarMore_WarnsAsksForAReasonAndForASecondPerson()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "1499");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        await page.PressAsync("Close the bag");

        Await(page, () => Assert.Contains(
            "That is 499 g more than the bag weighed, 50 % of it; the scales explain 5 g. Weigh its lots again, and undo a wrong one, before you close it.", Spaces.Plain(page.Find(".close-bag").TextContent), StringComparison.Ordinal));
        Assert.Contains("More than 50 g of weighing error wait for a second person", Spaces.Plain(page.Find(".close-bag").TextContent), StringComparison.Ordinal);
        await page.PressAsync("Close bag 1 and book the difference");
        Await(page, () => Assert.Contains("weigh 499 g more than it did", Spaces.Plain(page.Find(".close-bag .field-error").TextContent), StringComparison.Ordinal));
        await page.OnAsync("#rest-1-note", e => e.Change("Weighed twice."));
        await page.PressAsync("Close bag 1 and book the difference");

        Await(page, () => Assert.Contains("with 499 g more than it weighed waits for a second person", Spaces.Plain(page.Find(".said").TextContent), StringComparison.Ordinal));
        Assert.NotEmpty(page.FindAll("#ball"));
    }

    [Fact]
    public async Task Close_WhenMuchIsMissing_SaysHowMuchOfTheBagAsPercentIsWritten()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await SaveAsync(page, "13", "720");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        await page.PressAsync("Close the bag");

        Await(page, () => Assert.Contains("That is 28\u00A0% of the bag.", page.Find(".close-bag").TextContent, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Save_WhenTheBallTakesTheLotsFarAboveTheBag_RepeatsItBesideTheUndoInTheRowThatStaysInSight()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        Await(page, () => Assert.Equal("", page.Find(".ball-row [role=status]").TextContent.Trim()));
        await SaveAsync(page, "13", "1000");
        Await(page, () => Assert.Contains("Undo that", page.Find(".ball-row .said[role=status]").TextContent, StringComparison.Ordinal));
        Assert.Empty(page.FindAll(".said-over"));

        await SaveAsync(page, "13", "500");

        Await(page, () => Assert.Equal("The lots now weigh 500 g more than the bag did. Weigh this ball again.", Spaces.Plain(page.Find(".ball-row .said .said-over").TextContent)));
        await page.PressAsync("Undo that");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));
        Assert.Empty(page.FindAll(".said-over"));
    }

    [Fact]
    public async Task Row_NamesTheBinOfTheNextBallAndTheLotThatIsChanged()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        Await(page, () => Assert.Equal("Goes to the table", page.Find(".ball-row .ball-bin").TextContent));
        string bin = (await room.DoAsync<Web.Features.Bins.CreateBin, Web.Features.Bins.BinView>(u => u.RunAsync(room.Coordinator, new Web.Features.Bins.BinInput("Shelf", Data.Stock.BinKind.Shelf, null, null, null, null), GuildRoom.Cancellation))).Display;
        await page.OnAsync("#binCode", e => e.Input(bin.Replace("-", "", StringComparison.Ordinal)));
        Await(page, () => Assert.Equal($"Goes to {bin}", page.Find(".ball-row .ball-bin").TextContent));

        await SaveAsync(page, "13", "96");
        Await(page, () => Assert.Contains($"lies in bin {bin}.", page.Find(".said").TextContent, StringComparison.Ordinal));
        Assert.Equal($"Goes to {bin}", page.Find(".ball-row .ball-bin").TextContent);
        Assert.Empty(page.FindAll(".ball-changing"));
        LotView lot = (await room.DoAsync<BenchReader, Bench>(u => u.OneAsync(room.Volunteer, gift.Bags[0].Id, 10, GuildRoom.Cancellation))).Latest[0];
        await page.OnAsync("button[aria-label^=Edit]", e => e.Click());

        Await(page, () => Assert.Equal($"Changing {lot.Display}", page.Find(".ball-row .ball-changing").TextContent));
        Assert.Empty(page.FindAll(".ball-bin"));
    }

    [Fact]
    public async Task List_SaysThatItsGramsAreThoseOfNowAndGivesUnitsWhereTheHeadIsHidden()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        IRenderedComponent<BenchPage> page = Open(room, gift.Bags[0].Id);
        await page.OnAsync("#weightClass", e => e.Change("Aran"));
        await SaveAsync(page, null, "150");
        Await(page, () => Assert.Single(page.FindAll(".lots-table tbody tr")));

        Assert.Equal("Grams now", page.FindAll(".lots-table th")[3].TextContent);
        Assert.Equal("150 g now", Spaces.Plain(page.Find(".lots-table .grams").TextContent));
        Assert.Equal("255 to 300 yd", Spaces.Plain(page.Find(".lots-table .length").TextContent));
        Assert.Equal("yd", page.Find(".lots-table .length .on-phone").TextContent.Trim());
    }

    [Theory]
    [InlineData(PutUp.Cone, 3, "3 cones")]
    [InlineData(PutUp.Ball, 2, "2 balls")]
    [InlineData(PutUp.Skein, 1, null)]
    public async Task Label_WhenTheLotIsOfSeveral_SaysHowMany(PutUp putUp, int count, string? said)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await LogAsync(room);
        LotView lot = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 300, PutUp = putUp, Count = count }, GuildRoom.Cancellation));

        IReadOnlyList<GuildStash.Printing.LotLabel> labels = await room.DoAsync<Web.Features.Printing.LotLabelData, IReadOnlyList<GuildStash.Printing.LotLabel>>(
            u => u.LabelsAsync(room.Volunteer, [lot.Code], GuildStash.Printing.PrintTexts.English(GuildStash.Printing.PaperLengthUnit.Metres), GuildRoom.Cancellation));

        Assert.Equal(said, Assert.Single(labels).Pieces);
    }
}
