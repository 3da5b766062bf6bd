using GuildStash.Printing.Drawing;
using SkiaSharp;
using UglyToad.PdfPig.Content;
using UglyToad.PdfPig.Graphics;

namespace GuildStash.Printing.Tests.Labels;

public sealed class LotLabelDocumentTests
{
    private static readonly Box Label = new(0, 0, 63.5, 38.1);

    public static TheoryData<string> Keys => new(LabelSheetLayout.All.Select(layout => layout.Key));

    [Fact]
    public void Roundtrip_Label_SaysWhatTheYarnIs()
    {
        byte[] pdf = LotLabelDocument.RenderSingle(Samples.Lot, Samples.Yards);
        using PdfReading reading = new(pdf);
        string[] words = ["K7M4-P9U", "pink", "Aran", "at least 255 yd", "probably 277 yd, at most 300 yd", "150 g · believed to be wool", "Bin K7M-S"];
        Assert.All(words, text => Assert.Contains(text, reading.Text, StringComparison.Ordinal));
        Rasteriser seen = Rasteriser.Render(pdf);
        Assert.Equal(Samples.Lot.Url, seen.Decode(Label));
    }

    [Fact]
    public void Render_UnlessWeighedOnAVerifiedScale_SaysNotForTrade()
    {
        using PdfReading internalUse = new(LotLabelDocument.RenderSingle(Samples.Lot, Samples.Yards));
        using PdfReading forTrade = new(LotLabelDocument.RenderSingle(Samples.Lot with { IsForTrade = true }, Samples.Yards));
        using PdfReading unweighed = new(LotLabelDocument.RenderSingle(Samples.Lot with { Milligrams = null }, Samples.Yards));
        Assert.Contains("internal use, not for trade", internalUse.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("trade", forTrade.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("trade", unweighed.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Roundtrip_FullSheet_HasEveryCodeAndNoWordsOnOneAnother(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        byte[] pdf = LotLabelDocument.Render([.. Enumerable.Repeat(Samples.Lot, layout.LabelsPerPage)], layout, Samples.Metres);
        using PdfReading reading = new(pdf);
        PageChecks.AllTextIsOnThePage(reading, 4);
        PageChecks.NoTextOverlaps(reading);
        Rasteriser seen = Rasteriser.Render(pdf);
        for (int place = 0; place < layout.LabelsPerPage; place++)
        {
            (double x, double y) = layout.Corner(place);
            Assert.Equal(Samples.Lot.Url, seen.Decode(new Box(x, y, layout.LabelWidth, layout.LabelHeight)));
        }
    }

    [Fact]
    public void Render_WhenNothingIsKnown_SaysSo()
    {
        LotLabel bare = new() { Code = "K7M4-P9U", Url = Samples.Lot.Url, Colour = new PrintedColour("several", null) };
        using PdfReading reading = new(LotLabelDocument.RenderSingle(bare, Samples.Metres));
        Assert.Contains("length not known", reading.Text, StringComparison.Ordinal);
        Assert.Contains("not weighed", reading.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Bin", reading.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Render_WhenTheLotIsOfSeveralBalls_SaysHowManyWhereThereIsRoomAndNothingLiesOnIt(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        byte[] pdf = LotLabelDocument.Render([Samples.Lot with { Pieces = "3 balls" }], layout, Samples.Yards);
        using PdfReading reading = new(pdf);
        Assert.Contains("150 g · 3 balls · believed to be wool", reading.Text, StringComparison.Ordinal);
        PageChecks.AllTextIsOnThePage(reading, 4);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void Render_WhenThereIsNoRoomForHowMany_KeepsMassAndFibres()
    {
        LotLabel label = Samples.Lot with { Pieces = "3 balls", Fibres = "believed to be wool, acrylic, polyamide, silk" };
        using PdfReading reading = new(LotLabelDocument.RenderSingle(label, Samples.Yards, new LabelSize(40, 25)));
        Assert.DoesNotContain("balls", reading.Text, StringComparison.Ordinal);
        Assert.Contains("150 g · believed", reading.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Render_WhenTheLotIsKeptApart_SaysQuarantineAndNothingLiesOnIt(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        byte[] pdf = LotLabelDocument.Render([Samples.Lot with { IsQuarantined = true }], layout, Samples.Yards);
        using PdfReading reading = new(pdf);
        Assert.Contains("QUARANTINE", reading.Text, StringComparison.Ordinal);
        Assert.Contains("150 g", reading.Text, StringComparison.Ordinal);
        PageChecks.NoTextOverlaps(reading);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Render_WhenTheLotIsKeptApart_QuarantineIsReadAcrossATableAndTheFootIsWhole(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        using PdfReading reading = new(LotLabelDocument.Render([Samples.Lot with { IsQuarantined = true }], layout, Samples.Yards));
        Page page = reading.Pages[0];
        TextLine word = PdfReading.Line(page, "QUARANTINE");
        double above = word.BaselineFromTop(page);
        Assert.True(word.Letters[0].PointSize >= 8, $"{word.Letters[0].PointSize} pt");
        Assert.Contains(PdfReading.Shapes(page), box => box.X < word.Left && box.Right > word.Right && box.Y < above - 2 && box.Bottom > above && box.Height < 12);
        Assert.True(PdfReading.Line(page, "150 g · believed to be wool").Letters[0].PointSize >= 6);
    }

    [Fact]
    public void Render_OnAHighLabel_WordsAreLarger()
    {
        double Size(LabelSheetLayout layout, string line)
        {
            using PdfReading reading = new(LotLabelDocument.Render([Samples.Lot], layout, Samples.Yards));
            return PdfReading.Line(reading.Pages[0], line).Letters[0].PointSize;
        }

        Assert.True(Size(LabelSheetLayout.A4Of8, "at least 255 yd") > 1.7 * Size(LabelSheetLayout.A4Of21, "at least 255 yd"));
        Assert.True(Size(LabelSheetLayout.A4Of8, "150 g · believed to be wool") > 1.7 * Size(LabelSheetLayout.A4Of21, "150 g · believed to be wool"));
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Render_WhatIsNotForTrade_StandsClearOfTheStrand(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        using PdfReading reading = new(LotLabelDocument.Render([Samples.Lot], layout, Samples.Yards));
        Page page = reading.Pages[0];
        Box[] letters = [.. PdfReading.Line(page, "internal use, not for trade").Letters.Where(l => l.Value != " ").Select(l => PdfReading.BoxOf(page, l.BoundingBox))];
        (double x, double y) = layout.Corner(0);
        Box[] strand = [.. PdfReading.Shapes(page).Where(box => box.X >= x && box.Y >= y + 8 && box.Height < 3 && box.Right < x + (layout.LabelWidth * 0.7))];
        Assert.NotEmpty(strand);
        Assert.DoesNotContain(letters, l => strand.Any(s => l.X < s.Right + 0.4 && s.X - 0.4 < l.Right && l.Y < s.Bottom + 0.2 && s.Y - 0.2 < l.Bottom));
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Render_WhenItTakesThePlaceOfAnOldLabel_NamesItsCodeAndNothingLiesOnIt(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        byte[] pdf = LotLabelDocument.Render([Samples.Lot with { Formerly = "Q2W3-X4Y" }], layout, Samples.Yards);
        using PdfReading reading = new(pdf);
        Assert.Contains("before: Q2W3-X4Y", reading.Text, StringComparison.Ordinal);
        Assert.Contains("150 g", reading.Text, StringComparison.Ordinal);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void Swatch_WhenPicked_HasTheYarnsOwnColour()
    {
        byte[] pdf = LotLabelDocument.RenderSingle(Samples.Lot, Samples.Metres);
        using PdfReading reading = new(pdf);
        Rasteriser seen = Rasteriser.Render(pdf);
        TextLine name = PdfReading.Line(reading.Pages[0], "pink");
        SKColor colour = seen.ColourAt(name.Left - 5, name.BaselineFromTop(reading.Pages[0]) - 1);
        Assert.Equal(new SKColor(0xC5, 0x8A, 0xA0), colour);
    }

    /// <summary>WCAG 2 asks 3:1 of shapes; white yarn on white paper shows by its outline alone.</summary>
    [Fact]
    public void KnownContrast_OfSwatchOutlineOnPaper_IsAtLeastThreeToOne()
    {
        double channel = Ink.SwatchOutline.R / 255.0;
        Assert.Equal((Ink.SwatchOutline.R, Ink.SwatchOutline.R), (Ink.SwatchOutline.G, Ink.SwatchOutline.B));
        double luminance = Math.Pow((channel + 0.055) / 1.055, 2.4);
        Assert.True(1.05 / (luminance + 0.05) >= 3);
    }

    [Fact]
    public void KnownStrand_HasAThicknessProportionalToOneOverWraps()
    {
        double nine = StrandThickness(9);
        Assert.Equal(nine / 2, StrandThickness(18), 0.001);
        Assert.Equal(25.4 / 9 / 2, PdfReading.Millimetres(nine), 0.001);
    }

    [Fact]
    public void KnownLengthStrand_IsSolidAsFarAsTheYarnSurelyReaches()
    {
        double sure = SolidWidth(new PrintedLength(100, 100, 100));
        Assert.Equal(sure / 2, SolidWidth(new PrintedLength(50, 70, 100)), 0.01);
    }

    [Theory]
    [InlineData(40, 25)]
    [InlineData(40, 297)]
    [InlineData(210, 25)]
    [InlineData(210, 297)]
    public void ExtremeSizes_KeepWordsInsideAndTheCodeReadable(double width, double height)
    {
        byte[] pdf = LotLabelDocument.RenderSingle(Samples.Lot, Samples.Metres, new LabelSize(width, height));
        using PdfReading reading = new(pdf);
        PageChecks.AllTextIsOnThePage(reading, 1.5);
        PageChecks.NoTextOverlaps(reading);
        Rasteriser seen = Rasteriser.Render(pdf);
        Assert.Equal(Samples.Lot.Url, seen.Decode(new Box(0, 0, width, height)));
    }

    [Fact]
    public void ExtremeTexts_StayInsideTheLabel()
    {
        LotLabel label = Samples.Lot with
        {
            Colour = new PrintedColour(new string('W', 10_000), "#ffffff"),
            WeightClass = new PrintedWeightClass(new string('M', 500), 0.5),
            Fibres = string.Concat(Enumerable.Repeat("believed to be wool ", 500)),
            Length = new PrintedLength(9_999_999, 9_999_999, 10_000_000),
            Milligrams = 1_000_000_000,
        };
        using PdfReading reading = new(LotLabelDocument.RenderSingle(label, Samples.Metres));
        PageChecks.AllTextIsOnThePage(reading, 1.5);
        PageChecks.NoTextOverlaps(reading);
    }

    private static double StrandThickness(double wraps)
    {
        LotLabel label = Samples.Lot with { WeightClass = new PrintedWeightClass("class", wraps) };
        using PdfReading reading = new(LotLabelDocument.RenderSingle(label, Samples.Metres));
        PdfPath strand = Assert.Single(PdfReading.Paths(reading.Pages[0]), path => path.IsStroked && path.Any(part => part.Commands.Any(command => command is UglyToad.PdfPig.Core.PdfSubpath.CubicBezierCurve)));
        return (double)strand.LineWidth;
    }

    private static double SolidWidth(PrintedLength length)
    {
        using PdfReading reading = new(LotLabelDocument.RenderSingle(Samples.Lot with { Length = length }, Samples.Metres));
        Page page = reading.Pages[0];
        PdfPath solid = Assert.Single(PdfReading.Paths(page), path => path.IsFilled && path.Any(part => part.Commands.Any(command => command is UglyToad.PdfPig.Core.PdfSubpath.CubicBezierCurve)));
        return PdfReading.BoxOf(page, solid.GetBoundingRectangle()!.Value).Width;
    }
}
