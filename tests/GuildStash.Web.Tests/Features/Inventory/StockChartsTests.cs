using System.Globalization;
using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.Colours;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class StockChartsTests : ShellTest
{
    private static readonly SummaryRow[] Rows =
    [
        new(ColourFamily.Blue, WeightClass.Dk, 3, 300_000, 250_000, new(WeightClass.Dk, 600, 0, 0)),
        new(ColourFamily.White, WeightClass.Dk, 1, 50_000, 50_000, new(WeightClass.Dk, 200, 0, 0)),
        new(ColourFamily.Multicolour, WeightClass.Lace, 1, 20_000, 20_000, new(WeightClass.Lace, 180, 0, 0)),
        new(null, WeightClass.Jumbo, 2, 30_000, 30_000, new(WeightClass.Jumbo, 20, 0, 0)),
        new(ColourFamily.Pink, null, 4, 40_000, 40_000, new(null, 0, 0, 0)),
    ];

    [Theory]
    [InlineData("length", LengthUnit.Metres, "Pink ? 0.0 %, Blue 600 60.0 %, White 200 20.0 %, Multicolour 180 18.0 %, Not noted 20 2.0 %, Total 1,000 100.0 %")]
    [InlineData("length", LengthUnit.Yards, "Pink ? 0.0 %, Blue 656 60.0 %, White 218 20.0 %, Multicolour 196 18.0 %, Not noted 21 2.0 %, Total 1,093 100.0 %")]
    [InlineData("grams", LengthUnit.Metres, "Pink 40 9.1 %, Blue 300 68.2 %, White 50 11.4 %, Multicolour 20 4.5 %, Not noted 30 6.8 %, Total 440 100.0 %")]
    [InlineData("lots", LengthUnit.Metres, "Pink 4 36.3 %, Blue 3 27.3 %, White 1 9.1 %, Multicolour 1 9.1 %, Not noted 2 18.2 %, Total 11 100.0 %")]
    public void Show_WhenAMeasureIsChosen_TheTablesTellFiguresAndSharesOfIt(string measure, LengthUnit unit, string colours)
    {
        Use(unit);
        IRenderedComponent<StockCharts> charts = Charts(Enum.Parse<StockMeasure>(measure, ignoreCase: true));

        Assert.Equal(colours, string.Join(", ", charts.FindAll("table")[0].QuerySelectorAll("tbody tr, tfoot tr").Select(Told)));
    }

    // At least 600 and 200 m of DK are more than 800 m together; a reader who adds them up is told why.
    [Theory]
    [InlineData(StockMeasure.Length, true)]
    [InlineData(StockMeasure.Grams, false)]
    [InlineData(StockMeasure.Lots, false)]
    public void Show_WhenLengthsAreTold_SaysWhyTheyDontAddUp(StockMeasure measure, bool says)
    {
        Assert.Equal(says, Charts(measure).Markup.Contains("a total is more than its parts added up", StringComparison.Ordinal));
        IRenderedComponent<StockTableView> table = Ui.Render<StockTableView>(p => p.Add(c => c.Rows, Rows).Add(c => c.Measure, measure).Add(c => c.Address, new LotFilterAddress()));
        Assert.Equal(says, table.Markup.Contains("a total is more than its parts added up", StringComparison.Ordinal));
    }

    [Fact]
    public void Draw_WhenValuesDiffer_BarsAreInProportionToTheLongest()
    {
        IElement[] bars = [.. Charts().FindAll("table")[0].QuerySelectorAll(".bar .piece")];

        Assert.Equal(["url(#paint-unknown)", "url(#paint-many)", "#f6f4ee", "#3a6ea8"], bars.Select(Paint).Reverse());
        Assert.Equal([99.5, 99.5 / 3, 99.5 * 0.3, 99.5 / 30], bars.Select(bar => Percent(bar, "width")), (a, b) => Math.Abs(a - b) < 0.001);
    }

    [Fact]
    public void Draw_WhenAClassHasSeveralColours_ItsBarIsMadeOfThemInShelfOrder()
    {
        IElement dk = Charts().FindAll("table")[1].QuerySelectorAll("tbody tr")[1];
        IElement[] pieces = [.. dk.QuerySelectorAll(".bar .piece")];

        Assert.Equal("DK 800 80.0 %", Told(dk));
        Assert.Equal(["#3a6ea8", "#f6f4ee"], pieces.Select(Paint));
        Assert.Equal(Percent(pieces[0], "width"), Percent(pieces[1], "x"), 3);
        Assert.Equal(3 * Percent(pieces[1], "width"), Percent(pieces[0], "width"), 2);
    }

    [Fact]
    public void Link_WhenFiltersAreSet_BarsAndSlicesKeepThemAndOpenTheirLots()
    {
        IRenderedComponent<StockCharts> charts = Charts(address: new LotFilterAddress { Fibre = "WO", Status = "shelves" });
        IElement[] sections = [.. charts.FindAll("section")];

        Assert.Equal(
            ["colour=pink", "colour=blue", "colour=white", "colour=multicolour", "colour=unknown"],
            sections[0].QuerySelectorAll("table a").Select(link => Between(link, "/inventory/lots?", "&fibre=WO&status=shelves&order=LongestFree")));
        Assert.Equal(
            ["class=lace", "class=dk", "class=jumbo", "class=unknown"],
            sections[1].QuerySelectorAll("table a").Select(link => Between(link, "/inventory/lots?", "&fibre=WO&status=shelves&order=LongestFree")));
        Assert.Equal(
            ["colour=blue", "colour=multicolour", "colour=unknown", "colour=white"],
            sections[0].QuerySelectorAll(".ring a").Select(link => Between(link, "/inventory/lots?", "&fibre=WO&status=shelves&order=LongestFree")).Order());
        Assert.All(sections[0].QuerySelectorAll(".ring a"), link => Assert.Equal("-1", link.GetAttribute("tabindex")));
        Assert.Equal("/inventory?fibre=WO&status=shelves&view=charts&unit=grams", charts.FindAll("nav a")[1].GetAttribute("href"));
    }

    [Fact]
    public void Draw_WhenSharesAreSmall_OneSliceStandsForThemTogether()
    {
        ChartPart[] parts = [Part("Blue", 900), Part("Pink", 40), Part("Red", 30), Part("Grey", 20), Part("Black", 10), Part("White", 0)];
        IReadOnlyList<RingSlice> slices = RingLayout.Of(parts);

        Assert.Equal(["Blue 1 900", "Pink 1 40", " 3 60"], slices.OrderByDescending(s => s.Part?.Value).Select(s => $"{s.Part?.Name} {s.Count} {s.Tenths}"));
        Assert.Equal("Grey", RingLayout.Of([Part("Blue", 980), Part("Grey", 20)]).Single(s => s.Tenths == 20).Part!.Name);
        Assert.Equal(Shares.Whole, slices.Sum(s => s.Tenths));
    }

    [Fact]
    public void ExtremeRing_WhenThereIsOnePartOrNone_IsWholeOrEmpty()
    {
        Assert.Empty(RingLayout.Of([]));
        Assert.Empty(RingLayout.Of([Part("Blue", 0)]));
        RingSlice whole = Assert.Single(RingLayout.Of([Part("Blue", 5)]));
        Assert.Equal(4, whole.Path.Split('A').Length - 1);
    }

    [Fact]
    public void ExtremeRing_WhenManySlicesCrowdOneSide_LabelsKeepApartAndInside()
    {
        ChartPart[] parts = [.. Enumerable.Range(0, 15).Select(i => Part($"{i}", 66))];
        Assert.Equal(15, RingLayout.Of(parts).Count);
        foreach (IGrouping<bool, RingSlice> side in RingLayout.Of(parts).GroupBy(s => s.IsRight))
        {
            double[] ys = [.. side.Select(s => s.LabelY).Order()];

            Assert.InRange(ys[0], RingLayout.LineHeight, RingLayout.Height);
            Assert.InRange(ys[^1], 0, RingLayout.Height - (RingLayout.LineHeight));
            Assert.All(ys.Zip(ys.Skip(1)), pair => Assert.True(pair.Second - pair.First >= 30, $"{pair}"));
        }
    }

    [Fact]
    public void Draw_WhenANameIsLong_ItsLabelIsHigher()
    {
        Assert.Equal(2, RingLayout.Lines("Worsted or aran"));
        Assert.Equal(1, RingLayout.Lines("Super bulky"));
        Assert.Equal(2, RingLayout.Lines("Superduperbulky yarn"));
        Assert.Equal(3 * RingLayout.LineHeight, Assert.Single(RingLayout.Of([Part("Worsted or aran", 1)])).LabelHeight);
    }

    [Fact]
    public void KnownSlices_OfQuarters_MeetAtTheirEdges()
    {
        string[] paths = [.. RingLayout.Of([Part("A", 250), Part("B", 250), Part("C", 250), Part("D", 250)]).OrderBy(s => s.Part!.Name).Select(s => s.Path)];

        Assert.StartsWith("M190,52A88 88 0 0 1 278,140L244,140A54 54 0 0 0 190,86Z", paths[0], StringComparison.Ordinal);
        Assert.StartsWith("M278,140A88 88 0 0 1 190,228", paths[1], StringComparison.Ordinal);
    }

    [Fact]
    public void Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        Read(PseudoLanguage.CultureName);
        string html = string.Concat(Enum.GetValues<StockMeasure>().Select(measure => Charts(measure).Markup));

        Assert.Empty(UntranslatedText.Find(html));
    }

    private IRenderedComponent<StockCharts> Charts(StockMeasure measure = StockMeasure.Length, LotFilterAddress? address = null) =>
        Ui.Render<StockCharts>(p => p.Add(c => c.Rows, Rows).Add(c => c.Address, address ?? new()).Add(c => c.Measure, measure));

    private static ChartPart Part(string name, double value) => new(name, "/" + name, value, "", (int)value, "#000000", []);

    private static string Told(IElement row) => Spaces.Plain(string.Join(' ', row.Children.Select(cell => cell.TextContent.Trim()).Where(text => text.Length > 0)));

    private static string Paint(IElement piece) => piece.GetAttribute("style")!["fill:".Length..];

    private static double Percent(IElement piece, string attribute) => double.Parse(piece.GetAttribute(attribute)!.TrimEnd('%'), CultureInfo.InvariantCulture);

    private static string Between(IElement link, string before, string after)
    {
        string href = link.GetAttribute("href")!;
        Assert.StartsWith(before, href, StringComparison.Ordinal);
        Assert.EndsWith(after, href, StringComparison.Ordinal);
        return href[before.Length..^after.Length];
    }
}
