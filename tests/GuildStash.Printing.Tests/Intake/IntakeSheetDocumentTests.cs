using System.Globalization;
using GuildStash.Domain.Intake;
using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;
using UglyToad.PdfPig.Tokens;

namespace GuildStash.Printing.Tests.Intake;

public sealed class IntakeSheetDocumentTests
{
    private const double TableWidth = 182;

    [Fact]
    public void Roundtrip_Sheet_SaysWhatTheVolunteerNeeds()
    {
        byte[] pdf = IntakeSheetDocument.Render(Samples.Sheet(5), Samples.Yards);
        using PdfReading reading = new(pdf);
        string[] words =
        [
            "Riverside Spinners and Knitters", "D-2026-0042 / 1", "Bag 1 of 2", "Friday, 3 April 2026", "A donation: nothing is given for it",
            "a donor who wished no name", "2,348 g", "38.5 g", "2,309.5 g", "pet hair, a little perfume", "To be made into blankets",
            "treat and inspect before it leaves quarantine", "Promise the lower end.", "B2C3-D4U", "dusty red", "at least 220 yd",
            "Sorted so far: 1,550.5 g of 2,309.5 g · lots not weighed: 1", "459 yd /", "Band, yd/g", "Sorted by", "Page 1 of 2", "Page 2 of 2",
        ];
        Assert.All(words, text => Assert.Contains(text, reading.Text, StringComparison.Ordinal));
        Rasteriser seen = Rasteriser.Render(pdf);
        Assert.Equal(Samples.Sheet().BagUrl, seen.Decode(new Box(160, 8, 45, 32)));
    }

    [Fact]
    public void Render_WhenSwapFromANamedDonor_SaysSo()
    {
        IntakeSheet sheet = Samples.Sheet() with { Kind = IntakeKind.Swap, DonorName = "Bertha Beispiel" };
        using PdfReading reading = new(IntakeSheetDocument.Render(sheet, Samples.Metres));
        Assert.Contains("A swap: the giver gets something for it", reading.Text, StringComparison.Ordinal);
        Assert.Contains("Bertha Beispiel", reading.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("wished no name", reading.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Render_ABandsFigures_FollowTheReadersUnitAndBreakOnlyBehindTheStroke()
    {
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet(2), Samples.Metres));
        string[] lines = [.. PdfReading.Lines(reading.Pages[0]).Select(line => line.Text)];
        Assert.Contains("420 m /", lines);
        Assert.Contains("100 g", lines);
        Assert.Contains("Band, m/g", lines);
    }

    [Fact]
    public void Render_TheLongestDate_IsAsLargeAsWhatStandsBesideIt()
    {
        IntakeSheet sheet = Samples.Sheet() with { ReceivedOn = new DateOnly(2026, 9, 23), DonorName = "Bertha Beispiel" };
        using PdfReading reading = new(IntakeSheetDocument.Render(sheet, Samples.Metres));
        TextLine date = PdfReading.Line(reading.Pages[0], "Wednesday, 23 September 2026");
        TextLine donor = PdfReading.Line(reading.Pages[0], "Bertha Beispiel");
        Assert.Equal(donor.Letters[0].PointSize, date.Letters[0].PointSize, 0.01);
        Assert.True(donor.Left - date.Right > 3);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(2)]
    public void Render_WhenTheBagStaysShut_SaysWhatToDoWithItAndHasNoLinesForSorting(int lots)
    {
        IntakeSheet sheet = Samples.Sheet(lots) with { StaysShut = true };
        using PdfReading reading = new(IntakeSheetDocument.Render(sheet, Samples.Metres));
        string text = reading.Text.Replace("\n", " ", StringComparison.Ordinal);
        Assert.Contains("What to do with this bag", text, StringComparison.Ordinal);
        Assert.Contains("Discard the bag", text, StringComparison.Ordinal);
        Assert.Contains("Taken out of the room by", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Promise the lower end", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Sorted by", text, StringComparison.Ordinal);
        Assert.Equal(lots > 0, text.Contains("Put-up", StringComparison.Ordinal));
        Assert.Equal(lots > 0 ? lots + 1 : 0, reading.Pages.SelectMany(PdfReading.Shapes).Count(box => Math.Abs(box.Width - TableWidth) < 0.01 && box.Height < 0.01));
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void KnownPage_IsExactlyA4()
    {
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet(), Samples.Metres));
        Page page = Assert.Single(reading.Pages);
        Assert.Equal(210, PdfReading.Millimetres(page.Width), 0.01);
        Assert.Equal(297, PdfReading.Millimetres(page.Height), 0.01);
    }

    [Theory]
    [InlineData(0, 0, 1)]
    [InlineData(0, 14, 1)]
    [InlineData(5, 14, 2)]
    [InlineData(30, 14, 3)]
    [InlineData(0, 200, 8)]
    public void Render_WithLotsAndBlankLines_LeavesAtLeastTheLinesAskedFor(int lots, int blankLines, int pages)
    {
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet(lots) with { BlankLines = blankLines }, Samples.Metres));
        Assert.Equal(pages, reading.Pages.Count);
        int lines = reading.Pages.SelectMany(PdfReading.Shapes).Count(box => Math.Abs(box.Width - TableWidth) < 0.01 && box.Height < 0.01);
        int headings = reading.Pages.Count(page => PdfReading.TextOf(page).Contains("Put-up", StringComparison.Ordinal));
        Assert.InRange(lines - headings - lots, Math.Max(1, blankLines), blankLines + 30);
        Assert.Equal(pages, headings);
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void Render_WhenThirtyLots_PrintsEachOnceInTheGivenOrder()
    {
        IntakeSheet sheet = Samples.Sheet(30);
        sheet = sheet with { Lots = [.. sheet.Lots.Select((lot, index) => lot with { Code = $"X{index:00}Y-ZZZ" })] };
        using PdfReading reading = new(IntakeSheetDocument.Render(sheet, Samples.Metres));
        string[] codes = [.. reading.Pages.SelectMany(PdfReading.Lines).Select(line => line.Text).Where(text => text.EndsWith("Y-ZZZ", StringComparison.Ordinal))];
        Assert.Equal(sheet.Lots.Select(lot => lot.Code), codes);
    }

    [Fact]
    public void ExtremeTexts_AreCutWithAWordAndNeverOverlap()
    {
        IntakeSheet sheet = Samples.Sheet(5) with
        {
            GuildName = new string('G', 300),
            DonorName = "<script>alert('x')</script>" + new string('W', 10_000),
            Wishes = string.Concat(Enumerable.Repeat("wish ", 2_000)),
            Notes = new string('n', 10_000),
            Conditions = [.. Enumerable.Repeat("pet hair", 500)],
            Quarantine = new string('q', 2_000),
        };
        using PdfReading reading = new(IntakeSheetDocument.Render(sheet, Samples.Metres));
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
        Assert.Contains("<script>alert('x')</script>", reading.Text, StringComparison.Ordinal);
        Assert.Contains("The rest is on the bag's page.", reading.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void ExtremeCautions_AllPrintedOverSeveralPages()
    {
        IntakeSheet sheet = Samples.Sheet() with { Cautions = [.. Enumerable.Range(1, 80).Select(number => $"Caution number {number:000} says what to do.")] };
        using PdfReading reading = new(IntakeSheetDocument.Render(sheet, Samples.Metres));
        Assert.True(reading.Pages.Count > 1);
        Assert.All(sheet.Cautions, caution => Assert.Contains(caution, reading.Text, StringComparison.Ordinal));
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void Roundtrip_GreekCyrillicAndSigns_AreReadBackAsWritten()
    {
        const string Wishes = "Κουβέρτες για παιδιά · Пледы для детей, їжак · Łódź, Åse, ő · ≥ 3 → ✓ ⌀";
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet() with { Wishes = Wishes }, Samples.Metres));
        Assert.Contains(Wishes, reading.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void MeasuredWidth_OfALineWithFallback_IsTheDrawnWidth()
    {
        const string Wishes = "Κουβέρτες ≥ 3 → ✓ Пледы";
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet() with { Wishes = Wishes }, Samples.Metres));
        TextLine line = PdfReading.Line(reading.Pages[0], Wishes);
        Assert.Equal(TextLayout.Width(Wishes, new TextStyle(9.5)), line.Right - line.Left, 0.05);
    }

    [Fact]
    public void Metadata_NamesTitleLanguageAndStructure()
    {
        PrintTexts german = Samples.Metres with { Culture = CultureInfo.GetCultureInfo("de-DE") };
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet(5), german));
        DictionaryToken catalog = reading.Document.Structure.Catalog.CatalogDictionary;
        Assert.Equal("Intake sheet D-2026-0042 / 1", reading.Document.Information.Title);
        Assert.Equal("de-DE", Assert.IsType<StringToken>(catalog.Data["Lang"]).Data);
        Assert.True(catalog.ContainsKey(NameToken.Create("StructTreeRoot")));
        Assert.True(catalog.ContainsKey(NameToken.Create("MarkInfo")));
    }

    [Fact]
    public void Render_WhenCultureIsInvariant_StillGivesADocument()
    {
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet(), Samples.Metres with { Culture = CultureInfo.InvariantCulture }));
        Assert.Contains("D-2026-0042", reading.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Metadata_WhenTitleIsGreek_KeepsItsLetters()
    {
        PrintTexts greek = Samples.Metres with { Localise = (key, arguments) => key == PrintWords.IntakeSheet ? "Δελτίο παραλαβής" : Samples.Metres.Localise(key, arguments) };
        using PdfReading reading = new(IntakeSheetDocument.Render(Samples.Sheet(), greek));
        Assert.Equal("Δελτίο παραλαβής D-2026-0042 / 1", reading.Document.Information.Title);
    }

    [Fact]
    public async Task Render_FromManyThreads_GivesTheSameText()
    {
        using PdfReading alone = new(IntakeSheetDocument.Render(Samples.Sheet(5), Samples.Metres));
        byte[][] together = await Task.WhenAll(Enumerable.Range(0, 16).Select(_ =>
            Task.Run(() => IntakeSheetDocument.Render(Samples.Sheet(5), Samples.Metres), TestContext.Current.CancellationToken)));
        foreach (byte[] pdf in together)
        {
            using PdfReading reading = new(pdf);
            Assert.Equal(alone.Text, reading.Text);
        }
    }

    [Fact]
    public void InvalidMasses_AreRefusedWithTheValue()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => IntakeSheetDocument.Render(Samples.Sheet() with { GrossMilligrams = -1 }, Samples.Metres));
        ArgumentOutOfRangeException refusal = Assert.Throws<ArgumentOutOfRangeException>(
            () => IntakeSheetDocument.Render(Samples.Sheet() with { TareMilligrams = 3_000_000 }, Samples.Metres));
        Assert.Contains("3000000", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void InvalidBag_OutsideItsCount_IsRefused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => IntakeSheetDocument.Render(Samples.Sheet() with { BagOrdinal = 3 }, Samples.Metres));
}
