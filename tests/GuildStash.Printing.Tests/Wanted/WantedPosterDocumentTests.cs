using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;

namespace GuildStash.Printing.Tests.Wanted;

public sealed class WantedPosterDocumentTests
{
    private const double Tolerance = 0.01;

    public static TheoryData<string> Sizes => new(PaperSize.All.Select(size => size.Key));

    private static WantedPoster Poster(int lines = 3) => Samples.Poster(lines);

    [Theory]
    [InlineData("a4", 210, 297)]
    [InlineData("letter", 215.9, 279.4)]
    public void KnownSheet_IsOnePageOfItsSize(string size, double width, double height)
    {
        using PdfReading reading = new(WantedPosterDocument.Render(Poster(), PaperSize.Find(size)!, Samples.Yards));
        Page page = Assert.Single(reading.Pages);
        Assert.Equal(width, PdfReading.Millimetres(page.Width), Tolerance);
        Assert.Equal(height, PdfReading.Millimetres(page.Height), Tolerance);
    }

    [Fact]
    public void Roundtrip_Poster_SaysWhatIsWantedForWhomAndWhereItGoes()
    {
        using PdfReading reading = new(WantedPosterDocument.Render(Poster(), PaperSize.A4, Samples.Yards));
        string[] words =
        [
            "Riverside Spinners and Knitters", "Yarn wanted", "for Warm hats for the night shelter, Lap blankets", "DK", "Blue", "about 1,200 yd", "420 g", "for 12 × Hat",
            "DK, Worsted or Aran", "any colour", "about 700 yd", "for 8 × Scarf, 3 × Cowl", "Jumbo", "Many colours", "Bring it to", "Old dye house, 3 Wharf Lane", "Saturdays 10 to 12",
            "Clean and dry yarn, please", "As of Friday, 15 May 2026", "What is wanted now:", "stash.example.org /wanted/open",
        ];
        Assert.All(words, text => Assert.Contains(text, reading.Text.Replace("\n", " ", StringComparison.Ordinal).Replace("  ", " ", StringComparison.Ordinal), StringComparison.Ordinal));
    }

    [Fact]
    public void Render_AKilogramAndMore_IsSaidAsThePageSaysIt()
    {
        WantedPoster poster = Poster(1);
        using PdfReading reading = new(WantedPosterDocument.Render(
            poster with { Lines = [new WantedPosterLine(poster.Lines[0].Classes, null, 20_000, 9_547_300, [(12, "Hat")])] }, PaperSize.A4, Samples.Yards));
        Assert.Contains("9.55 kg", reading.Text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Roundtrip_Code_OpensTheAddress(string size)
    {
        PaperSize paper = PaperSize.Find(size)!;
        byte[] pdf = WantedPosterDocument.Render(Poster(), paper, Samples.Metres);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 150);

        Assert.Equal(Samples.WantedUrl, seen.Decode(new Box(paper.Width / 2, paper.Height / 2, paper.Width / 2, paper.Height / 2)));
    }

    [Fact]
    public void Render_WithoutAnAddressOfAnOpenPage_HasNoCode()
    {
        byte[] pdf = WantedPosterDocument.Render(Poster() with { Url = null }, PaperSize.A4, Samples.Metres);
        using PdfReading reading = new(pdf);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 150);

        Assert.Null(seen.Decode(new Box(0, 0, 210, 297)));
        Assert.DoesNotContain("What is wanted now", reading.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void KnownStrands_AreToOneScale()
    {
        using PdfReading reading = new(WantedPosterDocument.Render(Poster(), PaperSize.A4, Samples.Yards));
        double[] widths = [.. PdfReading.Paths(reading.Pages[0]).Where(p => p.IsStroked && p.LineWidth > 3).Select(p => PdfReading.Millimetres((double)p.LineWidth))];

        Assert.Equal([1.5 * 25.4 / 13, 1.5 * 25.4 / 10.5, 1.5 * 25.4 / 3], widths, (a, b) => Math.Abs(a - b) < Tolerance);
    }

    [Fact]
    public void Swatch_WhenAFamilyHasOneColour_IsPrintedInIt()
    {
        byte[] pdf = WantedPosterDocument.Render(Poster(), PaperSize.A4, Samples.Yards);
        using PdfReading reading = new(pdf);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 150);
        Box swatch = Assert.Single(PdfReading.Shapes(reading.Pages[0]).Where(box => Math.Abs(box.Width - 14) < Tolerance && Math.Abs(box.Height - 14) < Tolerance).Distinct());

        Assert.Equal("#ff3a6ea8", seen.ColourAt(swatch.X + 7, swatch.Y + 7).ToString());
    }

    [Theory]
    [InlineData(6, null)]
    [InlineData(7, "and one more kind of yarn")]
    [InlineData(40, "and 34 more kinds of yarn")]
    public void Render_WithManyKinds_CountsThoseThatDoNotFit(int lines, string? more)
    {
        foreach (PaperSize size in PaperSize.All)
        {
            using PdfReading reading = new(WantedPosterDocument.Render(Poster(lines), size, Samples.Yards));
            Assert.Single(reading.Pages);
            Assert.Equal(more is not null, reading.Text.Contains(more ?? "more kind", StringComparison.Ordinal));
            PageChecks.AllTextIsOnThePage(reading, 8);
            PageChecks.NoTextOverlaps(reading);
        }
    }

    [Fact]
    public void ExtremeTexts_StayOnThePage()
    {
        string wide = new('W', 3_000);
        WantedPoster poster = Poster(6) with { GuildName = wide, Address = string.Concat(Enumerable.Repeat("a long way\n", 90)), For = [wide, wide] };
        poster = poster with { Lines = [.. poster.Lines.Select(line => new WantedPosterLine([new PrintedWeightClass(wide, 3)], new PrintedColour(wide, "#000000"), 9_999_999, 1_000_000_000, [(100_000, wide)]))] };
        foreach (PaperSize size in PaperSize.All)
        {
            using PdfReading reading = new(WantedPosterDocument.Render(poster, size, Samples.Yards));
            Assert.Single(reading.Pages);
            PageChecks.AllTextIsOnThePage(reading, 8);
            PageChecks.NoTextOverlaps(reading);
        }
    }

    [Fact]
    public void InvalidPoster_WithoutLinesOrWithAFigureOutOfRange_IsRefused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => WantedPosterDocument.Render(Poster(0), PaperSize.A4, Samples.Yards));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WantedPosterLine([], null, double.NaN, null, []));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WantedPosterLine([], null, 1, -1, []));
    }
}
