using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Inventory;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class StockFiguresTests
{
    private static readonly SummaryRow[] Rows =
    [
        new(ColourFamily.Blue, WeightClass.Dk, 3, 300_000, 250_000, new(WeightClass.Dk, 600, 0, 0)),
        new(ColourFamily.Pink, WeightClass.Dk, 1, 50_000, 50_000, new(WeightClass.Dk, 100, 0, 0)),
        new(null, WeightClass.Lace, 2, 100_000, 100_000, new(WeightClass.Lace, 300, 0, 0)),
        new(ColourFamily.Blue, null, 4, 40_000, 40_000, new(null, 0, 0, 0)),
    ];

    [Theory]
    [InlineData(StockMeasure.Length, 700, 600, 1000)]
    [InlineData(StockMeasure.Grams, 350_000, 340_000, 490_000)]
    [InlineData(StockMeasure.Lots, 4, 7, 10)]
    public void KnownTotals_OfATable_AddUp(StockMeasure measure, double ofDk, double ofBlue, double total)
    {
        StockTable table = new(Rows, measure);

        Assert.Equal(ofDk, table.OfClass(WeightClass.Dk));
        Assert.Equal(ofBlue, table.OfColour(ColourFamily.Blue));
        Assert.Equal(total, table.Total);
        Assert.Equal(Shares.Whole, table.Classes.Sum(table.ClassShare));
        Assert.Equal(Shares.Whole, table.Colours.Sum(table.ColourShare));
        Assert.Equal(ofDk / total * Shares.Whole, table.ClassShare(WeightClass.Dk), 1.0);
    }

    [Fact]
    public void Table_WhenSomethingIsNotKnown_StandsLastAndEmptyCellsStayEmpty()
    {
        StockTable table = new(Rows, StockMeasure.Lots);

        Assert.Equal([WeightClass.Lace, WeightClass.Dk, null], table.Classes);
        Assert.Equal([ColourFamily.Pink, ColourFamily.Blue, null], table.Colours);
        Assert.Null(table.Cell(WeightClass.Lace, ColourFamily.Blue));
        Assert.Equal(0, new StockTable([], StockMeasure.Lots).TotalShare);
        Assert.Equal(0, new StockTable([Rows[3]], StockMeasure.Length).ClassShare(null));
    }

    [Fact]
    public void KnownSide_OfAHundredMetres_IsTenPixels()
    {
        WallScale scale = WallScale.Fit([]);

        Assert.Equal(10, scale.Side(100));
        Assert.Equal(20, scale.Side(400));
        Assert.Equal(WallScale.LeastSide, scale.Side(null));
        Assert.Equal(WallScale.LeastSide, scale.Side(0));
        Assert.Equal(WallScale.GreatestSide, scale.Side(1e9));
    }

    [Fact]
    public void ExtremeScale_WhenACellIsFull_ShrinksAllAlike()
    {
        WallBlock[] blocks = [.. Enumerable.Range(0, 40).Select(i => new WallBlock($"{i}", "#4f6d8f", 400 + i))];
        WallScale scale = WallScale.Fit([new WallCell(Rows[0], blocks)]);

        Assert.InRange(scale.PixelsPerMetre, 0.1, 0.5);
        Assert.Equal(2, scale.Side(1600) / scale.Side(400), 6);
    }
}
