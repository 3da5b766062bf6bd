using Bunit;
using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>A lot's page with its whole story, and the list of lots past its end.</summary>
public sealed class LotPagesTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task Show_WhenMuchWasMeasured_TheLotsPageTellsAllOfItInThePersonsUnit()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        LotView lot = await room.LotAsync(150, l => l with
        {
            WeightClass = WeightClass.Worsted,
            Band = new BandInput(183, 100),
            Wraps = new WrapsInput(20, 2, [19, 21]),
            ScaleDivisionGrams = 1,
            CoreTareGrams = 12,
        });
        await room.HoldAsync(lot, 40);

        IRenderedComponent<LotPage> page = Open<LotPage>($"/inventory/{lot.Code}", p => p.Add(c => c.Code, lot.Code));

        Says(page, "Worsted, from the band: 200 yd to 100 g.");
        Assert.Equal(
            "Band 200 yd to 100 g Wraps 20 over 2 in · again: 19, 21 Class named Worsted Scale reads to 1 g Core 12 g, taken off the weight",
            Words(page.FindComponent<LotMeasured>().FindAll("dt, dd")));
        string facts = Words(page.FindComponent<LotFacts>().FindAll("dt, dd"));
        Assert.Contains("98 g free, 40 g reserved", facts, StringComparison.Ordinal);
        Assert.Contains($"Came in {lot.DonationNumber}/1 on {Spaces.Plain(Display.Date(lot.ReceivedOn))}, with 90 kg in the bag; sorted on {Spaces.Plain(Display.Date(lot.CreatedAt))}", facts, StringComparison.Ordinal);
        page.WaitForAssertion(() => Assert.Contains($"bag {lot.DonationNumber}/1", Words(page.FindAll(".story li")), StringComparison.Ordinal), RoomPages.Patience);
        Use(LengthUnit.Metres);
        Assert.Equal("Worsted, from the band: 183 m to 100 g.", Spaces.Plain(Display.Say(lot.Basis!)));
    }

    [Fact]
    public async Task Filter_WhenChangedWhileTheListIsRead_NeverMixesTheTwo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await room.LotAsync(100, l => l with { WeightClass = WeightClass.Dk });
        await room.LotAsync(100, l => l with { WeightClass = WeightClass.Dk });
        await room.LotAsync(100, l => l with { WeightClass = WeightClass.Aran });
        Enter(room, room.Member);
        IRenderedComponent<LotsPage> page = Open<LotsPage>("/inventory/lots");
        Says(page, "3 lots, all free");
        List<string> seen = [];
        page.OnMarkupUpdated += (_, _) => seen.Add(Words(page.FindAll(".stock-sentence")));

        await using (GuildDbContext owner = GuildDatabase.Open(room.Guild.OwnerConnectionString))
        {
            await using IDbContextTransaction held = await owner.Database.BeginTransactionAsync(GuildRoom.Cancellation);
            await owner.Database.ExecuteSqlAsync($"lock table lot in access exclusive mode", GuildRoom.Cancellation);
            Navigation.NavigateTo("/inventory/lots?class=dk");
            await LockWait.ForAsync(room.Guild, owner);
            Navigation.NavigateTo("/inventory/lots?class=aran");
        }

        Says(page, "1 lot, all free");
        Assert.DoesNotContain(seen, sentence => sentence.StartsWith("2 lots", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Show_WhenNothingWasMeasured_SaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        LotView lot = await room.LotAsync(30, l => l with { WeightClass = null });

        IRenderedComponent<LotMeasured> measured = Ui.Render<LotMeasured>(p => p.Add(c => c.Lot, lot));

        Assert.Equal("Scale its step was not noted; it counts as exact", Words(measured.FindAll("dt, dd")));
        Assert.Equal("No band, no wraps and no class were noted, so nobody knows its length yet.", measured.Find("p").TextContent);
    }

    [Fact]
    public async Task Show_WhenInThePseudoLanguage_NothingMeasuredStaysInEnglish()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        LotView lot = await room.LotAsync(150, l => l with { Band = new BandInput(183, 100), Wraps = new WrapsInput(20, 2, [19]), ScaleDivisionGrams = 1, CoreTareGrams = 12 });
        LotView bare = await room.LotAsync(30, l => l with { WeightClass = null });
        Read(PseudoLanguage.CultureName);

        Assert.Empty(UntranslatedText.Find(Ui.Render<LotMeasured>(p => p.Add(c => c.Lot, lot)).Markup + Ui.Render<LotMeasured>(p => p.Add(c => c.Lot, bare)).Markup));
    }

    [Theory]
    [InlineData("9999")]
    [InlineData("99999999")]
    public async Task Open_WhenThePageIsPastTheEnd_ShowsTheLastOne(string asked)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        for (int i = 0; i < 51; i++)
        {
            await room.LotAsync(10);
        }

        IRenderedComponent<LotsPage> page = Open<LotsPage>($"/inventory/lots?page={asked}");

        Says(page, ".pager > span", "51 to 51 of 51");
        Assert.Single(page.FindAll(".lot-rows tbody tr"));
        Assert.Equal("2", page.Find(".pager [aria-current]").TextContent);
        Assert.Equal("/csv/lots.csv", page.Find("a[download]").GetAttribute("href"));
        Assert.Equal("As a list", page.Find(".stock-views [aria-current]").TextContent);
    }

    [Fact]
    public async Task Choose_WhenOneLotIsChosen_SpeaksOfOne()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await room.LotAsync(150);
        await room.LotAsync(80);
        IRenderedComponent<LotsPage> page = Open<LotsPage>("/inventory/lots");

        page.WaitForElement("td.choose input", RoomPages.Patience);
        await page.InvokeAsync(() => page.FindAll("td.choose input")[0].Change(true));
        Says(page, "1 lot chosen");
        Assert.Equal("Reserve this lot", Words(page.FindAll("a[href^='/holds/new?lots=']")));
        await page.InvokeAsync(() => page.FindAll("td.choose input")[1].Change(true));

        Says(page, "2 lots chosen");
        Assert.Equal("Reserve these", Words(page.FindAll("a[href^='/holds/new?lots=']")));
    }

    [Fact]
    public async Task Open_WhenAsCharts_KeepsViewAndUnitInItsLinks()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        await room.LotAsync(150);

        IRenderedComponent<InventoryPage> page = Open<InventoryPage>("/inventory?view=charts&unit=grams&class=aran");

        page.WaitForElement(".share-rows", RoomPages.Patience);
        Assert.Equal(
            ["/inventory?class=aran", "/inventory?class=aran&view=table&unit=grams", "/inventory?class=aran&view=charts&unit=grams", "/inventory/lots?class=aran"],
            page.FindAll(".stock-views a").Select(link => link.GetAttribute("href")));
        Assert.Equal("As charts", page.Find(".stock-views [aria-current]").TextContent);
        Assert.Equal("/csv/inventory.csv?class=aran", page.Find(".actions a").GetAttribute("href"));
        Assert.Equal("/inventory?view=charts&unit=grams", page.Find("a.chip[aria-label^=Without]").GetAttribute("href"));
    }
}
