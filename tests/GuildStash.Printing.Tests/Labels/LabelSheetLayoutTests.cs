using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;

namespace GuildStash.Printing.Tests.Labels;

public sealed class LabelSheetLayoutTests
{
    private const double Tolerance = 0.01;

    public static TheoryData<string> Keys => new(LabelSheetLayout.All.Select(layout => layout.Key));

    [Fact]
    public void KnownLayouts_AreSixWithDifferentKeys()
    {
        Assert.Equal(6, LabelSheetLayout.All.Select(layout => layout.Key).Distinct().Count());
        Assert.Null(LabelSheetLayout.Find("a3"));
    }

    /// <summary>Sizes as sold, from memory: width, height, side margin, top margin, gap; inches for Letter.</summary>
    [Theory]
    [InlineData("a4-63x38-3x7", 1, 63.5, 38.1, 7.25, 15.15, 2.5, 21)]
    [InlineData("a4-99x38-2x7", 1, 99.1, 38.1, 4.65, 15.15, 2.5, 14)]
    [InlineData("a4-99x68-2x4", 1, 99.1, 67.7, 4.65, 13.1, 2.5, 8)]
    [InlineData("a4-70x37-3x8", 1, 70, 37, 0, 0.5, 0, 24)]
    [InlineData("letter-2.625x1-3x10", 25.4, 2.625, 1, 0.1875, 0.5, 0.125, 30)]
    [InlineData("letter-4x2-2x5", 25.4, 4, 2, 0.15625, 0.5, 0.1875, 10)]
    public void KnownLayout_HasTheSizesAsSold(string key, double unit, double width, double height, double left, double top, double gap, int labels)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        Assert.Equal(width * unit, layout.LabelWidth, Tolerance);
        Assert.Equal(height * unit, layout.LabelHeight, Tolerance);
        Assert.Equal(left * unit, layout.Left, Tolerance);
        Assert.Equal(top * unit, layout.Top, Tolerance);
        Assert.Equal(gap * unit, layout.GapX, Tolerance);
        Assert.Equal(labels, layout.LabelsPerPage);
    }

    /// <summary>Margins are the same on both sides, so margins, labels and gaps must make up the page.</summary>
    [Theory]
    [MemberData(nameof(Keys))]
    public void KnownLayout_ClosesOnItsPage(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        double across = (2 * layout.Left) + (layout.Columns * layout.LabelWidth) + ((layout.Columns - 1) * layout.GapX);
        double down = (2 * layout.Top) + (layout.Rows * layout.LabelHeight) + ((layout.Rows - 1) * layout.GapY);
        Assert.Equal(layout.PageWidth, across, Tolerance);
        Assert.Equal(layout.PageHeight, down, Tolerance);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void KnownTestPage_OutlinesEveryLabelWhereItLies(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        using PdfReading reading = new(TestPageDocument.Render(layout, Samples.Metres, new LabelPlacement(1, 1.5, -0.4)));
        Page page = reading.Pages[0];
        Assert.Equal(layout.PageWidth, PdfReading.Millimetres(page.Width), Tolerance);
        Assert.Equal(layout.PageHeight, PdfReading.Millimetres(page.Height), Tolerance);
        IReadOnlyList<Box> outlines = PdfReading.Shapes(page);
        Assert.Equal(layout.LabelsPerPage, outlines.Count);
        for (int row = 0; row < layout.Rows; row++)
        {
            for (int column = 0; column < layout.Columns; column++)
            {
                Box outline = outlines[(row * layout.Columns) + column];
                Assert.Equal(layout.Left + (column * (layout.LabelWidth + layout.GapX)) + 1.5, outline.X, Tolerance);
                Assert.Equal(layout.Top + (row * (layout.LabelHeight + layout.GapY)) - 0.4, outline.Y, Tolerance);
                Assert.Equal(layout.LabelWidth, outline.Width, Tolerance);
                Assert.Equal(layout.LabelHeight, outline.Height, Tolerance);
            }
        }
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void KnownTestPage_HasRulesOf100MillimetresAndACard(string key)
    {
        using PdfReading reading = new(TestPageDocument.Render(LabelSheetLayout.Find(key)!, Samples.Metres));
        IReadOnlyList<Box> shapes = PdfReading.Shapes(reading.Pages[1]);
        Assert.Single(shapes, box => Math.Abs(box.Width - 100) < Tolerance && box.Height < Tolerance);
        Assert.Single(shapes, box => Math.Abs(box.Height - 100) < Tolerance && box.Width < Tolerance);
        Assert.Single(shapes, box => Math.Abs(box.Width - 85.60) < Tolerance && Math.Abs(box.Height - 53.98) < Tolerance);
        PageChecks.AllTextIsOnThePage(reading, 0);
        PageChecks.NoTextOverlaps(reading);
        Assert.Contains("Print at 100 %", reading.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(22)]
    [InlineData(-1)]
    public void InvalidStart_IsRefusedWithTheAllowedRange(int startAt)
    {
        ArgumentOutOfRangeException refusal = Assert.Throws<ArgumentOutOfRangeException>(
            () => BinLabelDocument.Render([Samples.Bin], LabelSheetLayout.A4Of21, Samples.Metres, new LabelPlacement(startAt)));
        Assert.Contains("1 to 21", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(double.NaN, 0)]
    [InlineData(0, 5.1)]
    [InlineData(-5.1, 0)]
    public void InvalidNudge_IsRefused(double x, double y) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new LabelPlacement(1, x, y));

    [Theory]
    [InlineData(39, 38)]
    [InlineData(63.5, 24)]
    [InlineData(double.NaN, 38)]
    public void InvalidSize_IsRefused(double width, double height) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new LabelSize(width, height));
}
