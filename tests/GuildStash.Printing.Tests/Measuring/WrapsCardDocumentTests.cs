using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;
using UglyToad.PdfPig.Graphics;

namespace GuildStash.Printing.Tests.Measuring;

public sealed class WrapsCardDocumentTests
{
    private const double Tolerance = 0.01;

    public static TheoryData<string> Sizes => new(PaperSize.All.Select(size => size.Key));

    private static PdfReading Read(string size, PrintTexts? texts = null) =>
        new(WrapsCardDocument.Render(Samples.Classes, "snug-1", PaperSize.Find(size)!, texts ?? Samples.Yards));

    /// <summary>ISO 216, and 8½ × 11 in.</summary>
    [Theory]
    [InlineData("a4", 210, 297)]
    [InlineData("letter", 215.9, 279.4)]
    public void KnownSheet_IsOfItsSize(string size, double width, double height)
    {
        using PdfReading reading = Read(size);
        Assert.Equal(2, reading.Pages.Count);
        Assert.All(reading.Pages, page =>
        {
            Assert.Equal(width, PdfReading.Millimetres(page.Width), Tolerance);
            Assert.Equal(height, PdfReading.Millimetres(page.Height), Tolerance);
        });
    }

    /// <summary>An inch is 25.4 mm, exact; the notches of both edges lie one above the other.</summary>
    [Theory]
    [MemberData(nameof(Sizes))]
    public void KnownNotches_AreOneAndTwoInchesWide(string size)
    {
        using PdfReading reading = Read(size);
        Page page = reading.Pages[0];
        PdfPath card = Assert.Single(PdfReading.Paths(page), path => PdfReading.Corners(page, path).Count > 15);
        IReadOnlyList<(double X, double Y)> corners = PdfReading.Corners(page, card);
        double top = corners.Min(corner => corner.Y);
        double bottom = corners.Max(corner => corner.Y);
        double[] upper = Floors(corners, y => y > top + Tolerance && y < (top + bottom) / 2);
        double[] lower = Floors(corners, y => y < bottom - Tolerance && y > (top + bottom) / 2);
        Assert.Equal([25.4, 50.8], [Math.Round(upper[1] - upper[0], 2), Math.Round(upper[3] - upper[2], 2)]);
        Assert.All(upper.Zip(lower), pair => Assert.Equal(pair.First, pair.Second, Tolerance));
    }

    /// <summary>Bank card: ISO/IEC 7810, ID-1, 85.60 × 53.98 mm.</summary>
    [Theory]
    [MemberData(nameof(Sizes))]
    public void KnownProof_IsARuleOf100MillimetresAndABankCard(string size)
    {
        using PdfReading reading = Read(size);
        IReadOnlyList<Box> shapes = PdfReading.Shapes(reading.Pages[0]);
        Box rule = Assert.Single(shapes, box => Math.Abs(box.Width - 100) < Tolerance && box.Height < Tolerance);
        Assert.Single(shapes, box => Math.Abs(box.Width - 85.60) < Tolerance && Math.Abs(box.Height - 53.98) < Tolerance);
        double[] ticks = [.. shapes.Where(box => box.Width < Tolerance && Math.Abs(box.Y - rule.Y) < Tolerance).Select(box => box.X - rule.X).Order()];
        Assert.Equal(101, ticks.Length);
        Assert.All(ticks.Select((x, tick) => (x, tick)), each => Assert.Equal(each.tick, each.x, Tolerance));
        Assert.Contains("Print at 100 %", reading.Text, StringComparison.Ordinal);
    }

    /// <summary>A strand is as thick as one wrap: 25.4 mm over the wraps of its class (computed). The inch holds as many as fit.</summary>
    [Theory]
    [MemberData(nameof(Sizes))]
    public void KnownStrands_AreAsThickAsTheirWraps(string size)
    {
        using PdfReading reading = Read(size);
        Page page = reading.Pages[1];
        Box[] strands = [.. PdfReading.Shapes(page).Where(box => Math.Abs(box.Width - 46) < Tolerance)];
        Assert.Equal(Samples.Classes.Select(row => Math.Round(25.4 / row.TypicalWraps, 2)), strands.Select(box => Math.Round(box.Height, 2)));
        PdfPath[] inches = [.. PdfReading.Paths(page).Where(path => path.IsFilled && path.Count > 1)];
        Assert.Equal(Samples.Classes.Count, inches.Length);
        foreach ((PdfPath inch, PrintedClassRow row) in inches.Zip(Samples.Classes))
        {
            double[] lefts = [.. inch.Select(part => PdfReading.BoxOf(page, part.GetBoundingRectangle()!.Value).X)];
            Assert.Equal((int)Math.Ceiling(row.TypicalWraps), lefts.Length);
            Assert.All(lefts.Select((x, wrap) => (x, wrap)), each => Assert.Equal(lefts[0] + (each.wrap * 25.4 / row.TypicalWraps), each.x, Tolerance));
        }

        Assert.Equal(Samples.Classes.Count, PdfReading.Shapes(page).Count(box => Math.Abs(box.Width - 25.4) < Tolerance && Math.Abs(box.Height - 12) < Tolerance));
    }

    /// <summary>Snug wraps and yards in 100 g: common practice, docs/sources.md.</summary>
    [Theory]
    [InlineData("Lace", "23 or more", "530 yd to 875 yd")]
    [InlineData("DK", "12–14", "200 yd to 273 yd")]
    [InlineData("Worsted or aran", "9–11", "132 yd to 220 yd")]
    [InlineData("Jumbo", "up to 4", "30 yd to 76 yd")]
    public void KnownRow_SaysWrapsAndLength(string name, string wraps, string length)
    {
        using PdfReading reading = Read("a4");
        Page page = reading.Pages[1];
        double y = PdfReading.Line(page, name + " (").BaselineFromTop(page);
        string row = string.Join(" | ", PdfReading.Lines(page).Where(line => Math.Abs(line.BaselineFromTop(page) - y) < 0.5).Select(line => line.Text));
        Assert.Contains(wraps, row, StringComparison.Ordinal);
        Assert.Contains(length, row, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Draw_WhenWordsAreLong_StaysOnThePageAndApart(string size)
    {
        PrintTexts wordy = Samples.Yards with { Localise = (key, arguments) => string.Format(Samples.Yards.Culture, key, arguments) + " øøø øøø" };
        foreach (PrintTexts texts in new[] { Samples.Yards, Samples.Metres, wordy })
        {
            using PdfReading reading = Read(size, texts);
            PageChecks.AllTextIsOnThePage(reading, 10);
            PageChecks.NoTextOverlaps(reading);
        }
    }

    [Fact]
    public void Render_WhenLookedAt_TheStrandIsInk()
    {
        byte[] pdf = WrapsCardDocument.Render(Samples.Classes, "snug-1", PaperSize.A4, Samples.Yards);
        using PdfReading reading = new(pdf);
        Box jumbo = PdfReading.Shapes(reading.Pages[1]).Last(box => Math.Abs(box.Width - 46) < Tolerance);
        Rasteriser picture = Rasteriser.Render(pdf, page: 2, dotsPerInch: 200);
        Assert.True(picture.ColourAt(jumbo.X + 20, jumbo.Y + 0.5).Red < 80);
        Assert.True(picture.ColourAt(jumbo.X + 20, jumbo.Bottom - 0.5).Red < 80);
        Assert.True(picture.ColourAt(jumbo.X + 20, jumbo.Y - 0.5).Red > 240);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(double.NaN)]
    [InlineData(101)]
    public void InvalidWraps_AreRefused(double wraps) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new PrintedClassRow("DK", 3, wraps, 11.5, 14.5, 183, 250));

    [Fact]
    public void InvalidSize_IsNotFound() => Assert.Null(PaperSize.Find("a3"));

    private static double[] Floors(IReadOnlyList<(double X, double Y)> corners, Func<double, bool> isFloor) =>
        [.. corners.Where(corner => isFloor(corner.Y)).Select(corner => corner.X).Order()];
}
