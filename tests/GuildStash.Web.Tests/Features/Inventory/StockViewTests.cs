using System.Globalization;
using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class StockViewTests : ShellTest
{
    private static readonly WallCell[] Cells =
    [
        new(new(ColourFamily.Black, WeightClass.Dk, 5, 500_000, 500_000, new(WeightClass.Dk, 500, 0, 0)),
            [new("K7M4P9U", "#101010", 400), new("AAAAAAA", "#fffdf9", 100), new("BBBBBBB", null, null)]),
        new(new(null, null, 1, 20_000, 20_000, new(null, 0, 0, 0)), [new("CCCCCCC", "#4f6d8f", null)]),
    ];

    [Fact]
    public void Draw_WhenALotIsFourTimesAsLong_ItsSideIsTwiceAsLong()
    {
        IRenderedComponent<StockWall> wall = Wall(new());
        IElement[] blocks = [.. wall.FindAll(".cell")[0].QuerySelectorAll("i")];

        Assert.Equal(2 * Side(blocks[1]), Side(blocks[0]), 1);
        Assert.Contains("background:#101010", blocks[0].GetAttribute("style"), StringComparison.Ordinal);
        Assert.Equal("+2", wall.Find(".cell small").TextContent);
    }

    [Fact]
    public void Draw_WhenNobodyPickedAColour_TheFamilysIsDrawnHatchedAndExplained()
    {
        WallCell[] cells = [new(new(ColourFamily.Blue, WeightClass.Dk, 1, 100_000, 100_000, new(WeightClass.Dk, 200, 0, 0)), [new("K7M4P9U", null, 200)]), new(new(null, WeightClass.Dk, 1, 100_000, 100_000, new(WeightClass.Dk, 200, 0, 0)), [new("AAAAAAA", null, 200)])];
        IRenderedComponent<StockWall> wall = Ui.Render<StockWall>(p => p.Add(c => c.Cells, cells).Add(c => c.Address, new LotFilterAddress()));

        IElement blue = wall.FindAll(".cell i")[0];
        Assert.Contains("background-color:#3a6ea8", blue.GetAttribute("style"), StringComparison.Ordinal);
        Assert.Contains("by-family", blue.ClassList);
        Assert.Contains("no-colour", wall.FindAll(".cell i")[1].ClassList);
        Assert.Contains("Hatched: nobody picked its own colour", wall.Find(".legend").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public void Draw_WhenNoLotHasAColour_ItHasNoColumn() =>
        Assert.Equal(["Black", "Not noted"], Wall(new()).FindAll("thead th").Select(head => head.TextContent));

    [Theory]
    [InlineData("wall", "As a wall")]
    [InlineData("table", "As a table")]
    [InlineData("charts", "As charts")]
    [InlineData("list", "As a list")]
    public void Choose_WhenAViewIsPresent_ItIsMarkedAndAllFourStandInOneOrder(string view, string marked)
    {
        IRenderedComponent<StockViews> views = Ui.Render<StockViews>(p => p.Add(c => c.Address, new LotFilterAddress()).Add(c => c.View, view));

        Assert.Equal(["As a wall", "As a table", "As charts", "As a list"], views.FindAll("a").Select(link => link.TextContent));
        Assert.Equal(marked, Assert.Single(views.FindAll("a[aria-current=page]")).TextContent);
    }

    [Fact]
    public void Draw_WhenTheYarnSinksIntoTheGround_OutlinesItOnThatGroundOnly()
    {
        IElement[] blocks = [.. Wall(new()).FindAll(".cell")[0].QuerySelectorAll("i")];

        Assert.Equal("yarn deep", blocks[0].ClassName);
        Assert.Equal("yarn pale", blocks[1].ClassName);
        Assert.Equal("yarn by-family unmeasured deep", blocks[2].ClassName);
    }

    [Fact]
    public void Link_WhenFiltersAreSet_ACellKeepsThemAndAddsItsPlace()
    {
        IElement[] cells = [.. Wall(new() { Fibre = "WO", Status = "shelves" }).FindAll(".cell")];

        Assert.Equal("/inventory/lots?class=dk&colour=black&fibre=WO&status=shelves&order=LongestFree", cells[0].GetAttribute("href"));
        Assert.Equal("/inventory/lots?class=unknown&colour=unknown&fibre=WO&status=shelves&order=LongestFree", cells[1].GetAttribute("href"));
        Assert.Equal("/inventory/lots?class=dk&colour=black&status=available&order=LongestFree", Wall(new()).Find(".cell").GetAttribute("href"));
    }

    [Fact]
    public void Tell_WhenReadAloud_ACellSaysPlaceLotsAndLength()
    {
        Use(LengthUnit.Metres);
        IElement[] cells = [.. Wall(new()).FindAll(".cell")];

        Assert.Equal("DK, Black: 5 lots, at least 500 m; +2 are not drawn", Spaces.Plain(cells[0].GetAttribute("aria-label")!));
        Assert.Equal("Not known, Not noted: 1 lot, length not known", cells[1].GetAttribute("aria-label"));
    }

    [Fact]
    public void Show_WhenAsTable_TotalsAndSharesStandAtTheEdges()
    {
        Use(LengthUnit.Yards);
        IRenderedComponent<StockTableView> table = Ui.Render<StockTableView>(p => p
            .Add(c => c.Rows, [Cells[0].Figures, new(ColourFamily.Blue, WeightClass.Dk, 2, 100_000, 100_000, new(WeightClass.Dk, 500, 0, 0))])
            .Add(c => c.Address, new LotFilterAddress()));

        Assert.Equal(["546", "546", "1,093", Spaces.Unbroken("100.0 %")], table.FindAll("tbody td").Select(cell => cell.TextContent.Trim()));
        Assert.Equal(["50.0 %", "50.0 %", "100.0 %", ""], table.FindAll("tfoot tr.shares td").Select(cell => Spaces.Plain(cell.TextContent.Trim())));
        Assert.Equal("Free yarn: yards, at least", table.Find("caption").TextContent);
        Assert.Equal(["547", "547", "1,094", ""], table.FindAll("tfoot tr.likely td").Select(cell => cell.TextContent.Trim()));
        Assert.Equal(["547", "547", "1,094", ""], table.FindAll("tfoot tr.high td").Select(cell => cell.TextContent.Trim()));
        Assert.Equal(
            ["class=dk&colour=blue", "class=dk&colour=black", "class=dk", "colour=blue", "colour=black", ""],
            table.FindAll("td a").Select(link => link.GetAttribute("href")!.Replace("/inventory/lots?", "", StringComparison.Ordinal).Replace("&status=available&order=LongestFree", "", StringComparison.Ordinal).Replace("status=available&order=LongestFree", "", StringComparison.Ordinal)));
    }

    [Fact]
    public void Show_WhenALengthIsNotKnown_IsAQuestionMarkAndNotNothing()
    {
        IRenderedComponent<StockTableView> table = Ui.Render<StockTableView>(p => p.Add(c => c.Rows, [Cells[1].Figures]).Add(c => c.Address, new LotFilterAddress()));

        Assert.Equal("?", table.Find("tbody td a").TextContent);
        Assert.Contains("stands for lots whose length nobody knows", table.Markup, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(812, null, "812 free lots · at least 61.4 km, probably 66.0 km, at most 71.0 km · 1.2 kg reserved · 3 lots in quarantine (420 g) · 1 lot not weighed yet")]
    [InlineData(1, null, "1 free lot · at least 61.4 km, probably 66.0 km, at most 71.0 km · 1.2 kg reserved · 3 lots in quarantine (420 g) · 1 lot not weighed yet")]
    [InlineData(812, 900, "900 lots, 812 of them with some free · at least 61.4 km, probably 66.0 km, at most 71.0 km · 1.2 kg reserved · 3 lots in quarantine (420 g) · 1 lot not weighed yet")]
    [InlineData(812, 812, "812 lots, each with some free · at least 61.4 km, probably 66.0 km, at most 71.0 km · 1.2 kg reserved · 3 lots in quarantine (420 g) · 1 lot not weighed yet")]
    [InlineData(1, 1, "1 lot, some of it free · at least 61.4 km, probably 66.0 km, at most 71.0 km · 1.2 kg reserved · 3 lots in quarantine (420 g) · 1 lot not weighed yet")]
    public void Tell_WhenTheStockIsRead_SaysItInOneSentence(int free, int? total, string sentence)
    {
        StockHead head = new(free, 6_000_000, 61_450, 66_010, 70_910, 5, 1_200_000, 3, 420_000, 1);

        Assert.Equal(sentence, Spaces.Plain(Ui.Render<StockSentence>(p => p.Add(c => c.Head, head).Add(c => c.Total, total)).Nodes.Aggregate("", (text, node) => text + node.TextContent).Trim()));
    }

    [Fact]
    public void Tell_WhenNothingIsReservedOrKeptApart_SaysThatAllIsFree()
    {
        StockHead head = new(3, 300_000, 500, 600, 720, 0, 0, 0, 0, 0);

        Assert.Equal("3 lots, all free · at least 500 m, probably 600 m, at most 720 m", Spaces.Plain(Ui.Render<StockSentence>(p => p.Add(c => c.Head, head).Add(c => c.Total, 3)).Find("span").TextContent));
    }

    [Theory]
    [InlineData(FibreBasis.BandSeen, "80 % wool, 20 % polyamide")]
    [InlineData(FibreBasis.DonorSaid, "believed to be 80 % wool, 20 % polyamide")]
    public void KnownFibres_WhenNoBandWasSeen_AreOnlyBelieved(FibreBasis basis, string words) =>
        Assert.Equal(words, Lot(l => l with { Fibres = [new FibreInput("WO", 80), new FibreInput("PA", 20)], FibreBasis = basis }).FibrePhrase().ToString());

    [Theory]
    [InlineData(49_147, 160_000, "49.1 g of 160 g free")]
    [InlineData(49_147, 49_147, "49.1 g")]
    [InlineData(700_000, 1_250_000, "700 g of 1.25 kg free")]
    public void Rows_WhenThereAreMilligrams_SayWhatIsFreeToATenthOfAGram(long free, long onHand, string words) => Assert.Equal(words, Spaces.Plain(
        Ui.Render<LotRows>(p => p.Add(c => c.Lots, [Lot(l => l with { FreeMg = free, OnHandMg = onHand })])).Find("td.mass").TextContent.Trim()));

    [Fact]
    public void Choose_WhenALotIsNotFree_ItCantBeChosen()
    {
        List<(string, bool)> chosen = [];
        long serial = 1;
        string other = LotCode.Next(ref serial).Value;
        IRenderedComponent<LotRows> rows = Ui.Render<LotRows>(p => p
            .Add(c => c.Lots, [Lot(l => l), Lot(l => l with { Code = other, Status = LotStatus.Reserved })])
            .Add(c => c.Chosen, (IReadOnlyCollection<string>)["K7M4P9U"])
            .Add(c => c.OnChoose, choice => chosen.Add(choice)));

        IElement box = Assert.Single(rows.FindAll("input"));
        Assert.Equal("Choose K7M4-P9U", box.GetAttribute("aria-label"));
        Assert.True(box.HasAttribute("checked"));
        box.Change(false);
        Assert.Equal([("K7M4P9U", false)], chosen);
    }

    /// <summary>On a phone the head, which names the unit, is hidden.</summary>
    [Fact]
    public void Rows_GiveTheLengthsUnitForPhones()
    {
        Use(LengthUnit.Yards);
        IRenderedComponent<LotRows> rows = Ui.Render<LotRows>(p => p.Add(c => c.Lots, [Lot(l => l with { MetresLow = 57, MetresLikely = 60, MetresHigh = 96 })]));

        Assert.Equal("62 to 105 yd", Spaces.Plain(rows.Find(".length").TextContent).Trim());
        Assert.Equal("yd", rows.Find(".length .on-phone").TextContent.Trim());
    }

    [Fact]
    public void Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        Read(PseudoLanguage.CultureName);
        LotView lot = Lot(l => l with { ColourFamily = ColourFamily.Blue, Notes = "A note", DyeLot = "A7", Fibres = [new FibreInput("WO", 100)] });
        string html = Wall(new()).Markup
            + Ui.Render<StockTableView>(p => p.Add(c => c.Rows, [Cells[0].Figures, Cells[1].Figures]).Add(c => c.Address, new LotFilterAddress())).Markup
            + Ui.Render<LotRows>(p => p.Add(c => c.Lots, [lot]).Add(c => c.Chosen, [])).Markup
            + Ui.Render<StockSentence>(p => p.Add(c => c.Head, new StockHead(2, 1, 1, 1, 2, 1, 1, 1, 1, 1))).Markup
            + Ui.Render<LotFilterBar>(p => p.Add(c => c.Path, "/inventory").Add(c => c.Address, new LotFilterAddress { Class = "dk", Colour = "teal", Fibre = "WO", Age = "over-365", Status = "shelves", Washable = "yes", Metres = "100", Query = "knot" })).Markup;

        Assert.Empty(UntranslatedText.Find(html));
    }

    [Fact]
    public void Filter_WhenMetresAreTypedInYards_TheAddressHoldsMetres()
    {
        Use(LengthUnit.Yards);
        Navigation.NavigateTo("/inventory");
        IRenderedComponent<LotFilterBar> bar = Ui.Render<LotFilterBar>(p => p.Add(c => c.Path, "/inventory").Add(c => c.Address, new LotFilterAddress { Class = "dk" }).Add(c => c.Keep, [("view", "table")]));

        bar.Find("#metres").Input("200");
        bar.Find("#lot-q").Change("knot");
        bar.Find("form").Submit();

        Assert.EndsWith("/inventory?class=dk&metres=182.88&q=knot&view=table", Navigation.Uri, StringComparison.Ordinal);
    }

    [Fact]
    public void Filter_WhenSeveralAreSet_EachCanBeTakenAway()
    {
        Use(LengthUnit.Metres);
        IRenderedComponent<LotFilterBar> bar = Ui.Render<LotFilterBar>(p => p.Add(c => c.Path, "/inventory/lots").Add(c => c.Address, new LotFilterAddress { Class = "dk", Metres = "150" }));
        IElement[] chips = [.. bar.FindAll("a.chip")];

        Assert.Equal(["Without the filter DK", "Without the filter at least 150 m"], chips.Select(chip => Spaces.Plain(chip.GetAttribute("aria-label")!)));
        Assert.Equal(["/inventory/lots?metres=150", "/inventory/lots?class=dk"], chips.Select(chip => chip.GetAttribute("href")));
    }

    [Fact]
    public void Filter_WhenTheAddressIsNonsense_QuotesItOnItsChip()
    {
        IRenderedComponent<LotFilterBar> bar = Ui.Render<LotFilterBar>(p => p.Add(c => c.Path, "/inventory/lots").Add(c => c.Address, new LotFilterAddress { Class = "<b>", Fibre = "unknown" }));

        Assert.Equal(["“<b>”", "fibre not known"], bar.FindAll("a.chip > span:first-child").Select(word => word.TextContent));
        Assert.Empty(bar.FindAll("b"));
    }

    private IRenderedComponent<StockWall> Wall(LotFilterAddress address) => Ui.Render<StockWall>(p => p.Add(c => c.Cells, Cells).Add(c => c.Address, address));

    private static double Side(IElement block) => double.Parse(block.GetAttribute("style")!.Split(':', 'p')[1], CultureInfo.InvariantCulture);

    private static LotView Lot(Func<LotView, LotView> with) => with(new LotView
    {
        Id = Guid.CreateVersion7(),
        Code = "K7M4P9U",
        Status = LotStatus.Available,
        Version = 0,
        BagId = Guid.Empty,
        BagOrdinal = 1,
        DonationId = Guid.Empty,
        DonationNumber = "D-2026-0001",
        BinCode = "K7MS",
        BinName = "Blues",
        OnHandMg = 100_000,
        FreeMg = 40_000,
        WeightClass = WeightClass.Dk,
        MetresLow = 180,
        MetresLikely = 200,
        MetresHigh = 220,
        Count = 1,
    });
}
