using GuildStash.Printing.Drawing;
using SkiaSharp;
using UglyToad.PdfPig.Content;

namespace GuildStash.Printing.Tests.Labels;

public sealed class BinLabelDocumentTests
{
    /// <summary>Resolution of common label printers, dots per inch.</summary>
    private const int LabelPrinter = 203;

    private const int VersionTwoModules = 25;

    /// <summary>Coordinates in the file have four decimals of a point.</summary>
    private const double Tolerance = 0.0001;

    public static TheoryData<string> Keys => new(LabelSheetLayout.All.Select(layout => layout.Key));

    [Fact]
    public void KnownSingleLabel_Is180By108Points()
    {
        using PdfReading reading = new(BinLabelDocument.RenderSingle(Samples.Bin, Samples.Metres));
        Page page = Assert.Single(reading.Pages);
        Assert.Equal(180, page.Width, 0.01);
        Assert.Equal(108, page.Height, 0.01);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Roundtrip_SingleLabel_IsReadByEyeAndByScanner(bool isQuarantine)
    {
        BinLabel label = Samples.Bin with { IsQuarantine = isQuarantine };
        byte[] pdf = BinLabelDocument.RenderSingle(label, Samples.Metres);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: LabelPrinter);
        Assert.Equal(Samples.BinUrl, seen.Decode(new Box(0, 0, 63.5, 38.1)));
        using PdfReading reading = new(pdf);
        Assert.Contains("K7M-S", reading.Text, StringComparison.Ordinal);
        Assert.Contains("Shelf 3, top", reading.Text, StringComparison.Ordinal);
        Assert.Equal(isQuarantine, reading.Text.Contains("QUARANTINE", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void KnownModule_OnTheUsualLabel_IsAtLeastOneMillimetreWithItsQuietZone(bool isQuarantine)
    {
        byte[] pdf = BinLabelDocument.RenderSingle(Samples.Bin with { IsQuarantine = isQuarantine }, Samples.Metres);
        using PdfReading reading = new(pdf);
        Page page = reading.Pages[0];
        Box symbol = PdfReading.BoxOf(page, PdfReading.Paths(page).MaxBy(path => path.Count)!.GetBoundingRectangle()!.Value);
        double module = symbol.Width / VersionTwoModules;
        Assert.InRange(module, 1 - Tolerance, 1.3);

        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 600);
        for (double distance = 0.2; distance < 3.9; distance += 0.4)
        {
            Box ring = symbol.Deflate(-distance * module, -distance * module);
            for (double along = 0; along <= 1; along += 0.01)
            {
                Assert.Equal(SKColors.White, seen.ColourAt(ring.X + (along * ring.Width), ring.Y));
                Assert.Equal(SKColors.White, seen.ColourAt(ring.X + (along * ring.Width), ring.Bottom));
                Assert.Equal(SKColors.White, seen.ColourAt(ring.X, ring.Y + (along * ring.Height)));
                Assert.Equal(SKColors.White, seen.ColourAt(ring.Right, ring.Y + (along * ring.Height)));
            }
        }
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Roundtrip_FullSheet_HasEveryCodeAndAllWordsInsideItsLabel(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        IReadOnlyList<BinLabel> labels = Numbered(layout.LabelsPerPage);
        byte[] pdf = BinLabelDocument.Render(labels, layout, Samples.Metres);
        using PdfReading reading = new(pdf);
        Page page = Assert.Single(reading.Pages);
        PageChecks.NoTextOverlaps(reading);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: LabelPrinter);
        for (int place = 0; place < labels.Count; place++)
        {
            Assert.Equal(labels[place].Url, seen.Decode(Cell(layout, place)));
        }

        Assert.All(
            page.Letters.Where(letter => !string.IsNullOrWhiteSpace(letter.Value)),
            letter => Assert.Contains(
                Enumerable.Range(0, labels.Count), place => PageChecks.Contains(Cell(layout, place).Deflate(1.5, 1.5), PdfReading.BoxOf(page, letter.BoundingBox))));
    }

    [Fact]
    public void Render_WhenStartingAtLabelFive_LeavesTheFirstFourEmptyAndMovesByTheNudge()
    {
        LabelSheetLayout layout = LabelSheetLayout.A4Of21;
        byte[] plain = BinLabelDocument.Render([Samples.Bin], layout, Samples.Metres, new LabelPlacement(5));
        byte[] nudged = BinLabelDocument.Render([Samples.Bin], layout, Samples.Metres, new LabelPlacement(5, 2, -1.25));
        using PdfReading one = new(plain);
        using PdfReading other = new(nudged);
        Rasteriser seen = Rasteriser.Render(plain);
        Assert.All(Enumerable.Range(0, 4), place => Assert.Null(seen.Decode(Cell(layout, place))));
        Assert.Equal(Samples.BinUrl, seen.Decode(Cell(layout, 4)));
        TextLine code = PdfReading.Line(one.Pages[0], "K7M-S");
        TextLine moved = PdfReading.Line(other.Pages[0], "K7M-S");
        Assert.Equal(code.Left + 2, moved.Left, 0.01);
        Assert.Equal(code.BaselineFromTop(one.Pages[0]) - 1.25, moved.BaselineFromTop(other.Pages[0]), 0.01);
    }

    [Fact]
    public void Render_WhenThereAre300Labels_FillsFifteenSheetsWithoutLosingOne()
    {
        IReadOnlyList<BinLabel> labels = Numbered(300);
        byte[] pdf = BinLabelDocument.Render(labels, LabelSheetLayout.A4Of21, Samples.Metres);
        using PdfReading reading = new(pdf);
        Assert.Equal(15, reading.Pages.Count);
        string text = reading.Text;
        Assert.All(labels, label => Assert.Contains(label.Code, text, StringComparison.Ordinal));
        Rasteriser last = Rasteriser.Render(pdf, page: 15);
        Assert.Equal(labels[299].Url, last.Decode(Cell(LabelSheetLayout.A4Of21, 299 % 21)));
    }

    [Theory]
    [InlineData(40, 25)]
    [InlineData(40, 297)]
    [InlineData(210, 25)]
    [InlineData(210, 297)]
    public void ExtremeSizes_KeepWordsInsideAndTheCodeReadable(double width, double height)
    {
        byte[] pdf = BinLabelDocument.RenderSingle(Samples.Bin with { IsQuarantine = true }, Samples.Metres, new LabelSize(width, height));
        using PdfReading reading = new(pdf);
        PageChecks.AllTextIsOnThePage(reading, 1.5);
        PageChecks.NoTextOverlaps(reading);
        Rasteriser seen = Rasteriser.Render(pdf);
        Assert.Equal(Samples.BinUrl, seen.Decode(new Box(0, 0, width, height)));
    }

    [Fact]
    public void ExtremeNames_StayInsideTheLabelAndKeepTheCode()
    {
        BinLabel label = Samples.Bin with
        {
            Name = string.Concat(Enumerable.Repeat("a name without end ", 500)),
            Place = new string('W', 10_000),
            Site = "<script>alert('x')</script>",
            IsQuarantine = true,
        };
        byte[] pdf = BinLabelDocument.RenderSingle(label, Samples.Metres);
        using PdfReading reading = new(pdf);
        PageChecks.AllTextIsOnThePage(reading, 1.5);
        PageChecks.NoTextOverlaps(reading);
        Rasteriser seen = Rasteriser.Render(pdf);
        Assert.Equal(Samples.BinUrl, seen.Decode(new Box(0, 0, 63.5, 38.1)));
    }

    [Fact]
    public void ExtremeLink_OfTwoHundredCharacters_IsStillRead()
    {
        string url = "https://stash.example.org/" + new string('a', 174);
        byte[] pdf = BinLabelDocument.RenderSingle(Samples.Bin with { Url = url }, Samples.Metres);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 300);
        Assert.Equal(url, seen.Decode(new Box(0, 0, 63.5, 38.1)));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(201)]
    public void InvalidLink_IsRefusedWithTheAllowedLength(int length)
    {
        ArgumentOutOfRangeException refusal = Assert.Throws<ArgumentOutOfRangeException>(
            () => BinLabelDocument.RenderSingle(Samples.Bin with { Url = new string('A', length) }, Samples.Metres));
        Assert.Contains("1 to 200", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void InvalidRequest_WithoutLabels_IsRefused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => BinLabelDocument.Render([], LabelSheetLayout.A4Of21, Samples.Metres));

    private static Box Cell(LabelSheetLayout layout, int place) => new(
        layout.Left + (place % layout.Columns * (layout.LabelWidth + layout.GapX)),
        layout.Top + (place / layout.Columns * (layout.LabelHeight + layout.GapY)),
        layout.LabelWidth,
        layout.LabelHeight);

    private static IReadOnlyList<BinLabel> Numbered(int count) =>
    [
        .. Enumerable.Range(100, count).Select(number => Samples.Bin with
        {
            Code = $"{number}-X",
            Url = $"HTTPS://STASH.EXAMPLE.ORG/B/{number}X",
            IsQuarantine = number % 4 == 0,
        }),
    ];
}
