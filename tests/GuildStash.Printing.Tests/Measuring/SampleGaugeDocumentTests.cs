using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;

namespace GuildStash.Printing.Tests.Measuring;

public sealed class SampleGaugeDocumentTests
{
    private const double Tolerance = 0.01;

    public static TheoryData<string> Sizes => new(PaperSize.All.Select(size => size.Key));

    private static PdfReading Read(string size, PrintTexts? texts = null) =>
        new(SampleGaugeDocument.Render(Samples.Classes, PaperSize.Find(size)!, texts ?? Samples.Yards));

    /// <summary>Four times 250 mm are a metre, four times 228.6 mm a yard of 914.4 mm (exact).</summary>
    [Theory]
    [MemberData(nameof(Sizes))]
    public void KnownStrips_AreAQuarterOfAMetreAndOfAYard(string size)
    {
        using PdfReading reading = Read(size);
        Page page = Assert.Single(reading.Pages);
        double[] lengths = [.. PdfReading.Paths(page)
            .Select(path => PdfReading.Corners(page, path))
            .Where(corners => corners.Count >= 12)
            .Select(corners => FloorToFloor(corners))];
        Assert.Equal([250, 228.6], lengths.Select(length => Math.Round(length, 2)));
        Assert.Equal(1000, 4 * lengths[0], 4 * Tolerance);
        Assert.Equal(914.4, 4 * lengths[1], 4 * Tolerance);
    }

    /// <summary>The marks of the metre strip are 10 mm apart, those of the yard strip half an inch.</summary>
    [Theory]
    [InlineData("a4", 0, 10, 24)]
    [InlineData("letter", 0, 10, 24)]
    [InlineData("a4", 1, 12.7, 17)]
    [InlineData("letter", 1, 12.7, 17)]
    public void KnownMarks_AreEvenlySpaced(string size, int strip, double step, int count)
    {
        using PdfReading reading = Read(size);
        Page page = reading.Pages[0];
        IReadOnlyList<(double X, double Y)> outline = PdfReading.Paths(page).Select(path => PdfReading.Corners(page, path)).Where(corners => corners.Count >= 12).ElementAt(strip);
        double left = outline.Min(corner => corner.X);
        double floor = outline.Min(corner => corner.Y) + 4;
        double[] marks = [.. PdfReading.Shapes(page).Where(box => Math.Abs(box.X - left) < Tolerance && box.Height < Tolerance).Select(box => box.Y - floor).Order()];
        Assert.Equal(count, marks.Length);
        Assert.All(marks.Select((y, mark) => (y, mark)), each => Assert.Equal((each.mark + 1) * step, each.y, Tolerance));
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Render_FiguresStayWithTheirUnitAndHeadsApart(string size)
    {
        using PdfReading reading = Read(size);
        Page page = reading.Pages[0];
        string[] lines = [.. PdfReading.Lines(page).Select(line => line.Text)];
        Assert.Contains(lines, line => line.Contains("457.2 mm", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.Contains("85.60 × 53.98 mm", StringComparison.Ordinal));
        Assert.True(PdfReading.Line(page, "scale reads to 0.1 g").Left - PdfReading.Line(page, "scale reads to 1 g").Right > 4);
    }

    /// <summary>Bank card: ISO/IEC 7810, ID-1, 85.60 × 53.98 mm.</summary>
    [Theory]
    [MemberData(nameof(Sizes))]
    public void KnownProof_IsARuleOf100MillimetresAndABankCard(string size)
    {
        using PdfReading reading = Read(size);
        IReadOnlyList<Box> shapes = PdfReading.Shapes(reading.Pages[0]);
        Assert.Single(shapes, box => Math.Abs(box.Width - 100) < Tolerance && box.Height < Tolerance);
        Assert.Single(shapes, box => Math.Abs(box.Width - 85.60) < Tolerance && Math.Abs(box.Height - 53.98) < Tolerance);
    }

    /// <summary>Computed: (2 · 1 mm + π · 25.4/13 mm) = 8.1 mm; DK's 273 yd in 100 g times 20 g and 2 g.</summary>
    [Fact]
    public void KnownFigures_AreComputed()
    {
        using PdfReading reading = Read("a4");
        Page page = reading.Pages[0];
        string words = reading.Text.Replace('\n', ' ').Replace("  ", " ", StringComparison.Ordinal);
        Assert.Contains("8 mm for DK on card of 1 mm", words, StringComparison.Ordinal);
        TextLine row = PdfReading.Lines(page).Last(line => line.Text == "DK");
        double y = row.BaselineFromTop(page);
        string[] cells = [.. PdfReading.Lines(page).Where(line => Math.Abs(line.BaselineFromTop(page) - y) < 0.2).Select(line => line.Text)];
        Assert.Equal(["DK", "55 yd", "5.5 yd"], cells);
        Assert.Contains("40 turns: 20 yd", reading.Text, StringComparison.Ordinal);
        Assert.Contains("There and back: 457.2 mm", words, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Draw_WhenWordsAreLong_StaysOnThePageAndApart(string size)
    {
        PrintTexts wordy = Samples.Yards with { Localise = (key, arguments) => string.Format(Samples.Yards.Culture, key, arguments) + " øøø øøø" };
        foreach (PrintTexts texts in new[] { Samples.Yards, Samples.Metres, wordy })
        {
            using PdfReading reading = Read(size, texts);
            PageChecks.AllTextIsOnThePage(reading, 8);
            PageChecks.NoTextOverlaps(reading);
        }
    }

    private static double FloorToFloor(IReadOnlyList<(double X, double Y)> corners)
    {
        double left = corners.Min(corner => corner.X);
        double right = corners.Max(corner => corner.X);
        double[] floors = [.. corners.Where(c => c.X > left + Tolerance && c.X < right - Tolerance).Select(c => Math.Round(c.Y, 4)).Distinct().Order()];
        return floors[2] - floors[1];
    }
}
