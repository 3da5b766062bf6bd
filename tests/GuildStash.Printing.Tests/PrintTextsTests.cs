using System.Globalization;
using CsCheck;
using GuildStash.Printing.Tests.Kits;

namespace GuildStash.Printing.Tests;

public sealed class PrintTextsTests
{
    private const double MetresPerYard = 0.9144;

    /// <summary>Rule of the trade: 150 g of aran at 1.70 yd/g promise 255 yd.</summary>
    [Fact]
    public void KnownLength_OfAWholeNumberOfYards_StaysWhole()
    {
        Assert.Equal("255 yd", Plain(Samples.Yards.AtLeast(255 * MetresPerYard)));
        Assert.Equal("300 yd", Plain(Samples.Yards.AtMost(300 * MetresPerYard)));
    }

    [Theory]
    [InlineData(0.0, "0 m", "0 m")]
    [InlineData(4.56, "4.5 m", "4.6 m")]
    [InlineData(9.99, "9.9 m", "10 m")]
    [InlineData(1326.9, "1,326 m", "1,327 m")]
    public void KnownLengths_RoundDownWhenPromisedAndUpWhenFeared(double metres, string atLeast, string atMost)
    {
        Assert.Equal(atLeast, Plain(Samples.Metres.AtLeast(metres)));
        Assert.Equal(atMost, Plain(Samples.Metres.AtMost(metres)));
    }

    [Theory]
    [InlineData(96_500, "96.5 g")]
    [InlineData(1_203_000, "1,203 g")]
    [InlineData(0, "0 g")]
    public void KnownMasses_AreWrittenInGrams(long milligrams, string expected) =>
        Assert.Equal(expected, Plain(Samples.Metres.Grams(milligrams)));

    [Fact]
    public void AtLeast_OfAnyLength_NeverPromisesMoreThanThereIs() =>
        Gen.Double[0, 100_000].Sample(metres =>
        {
            double promised = double.Parse(Plain(Samples.Metres.AtLeast(metres)).Split(' ')[0], NumberStyles.Number, CultureInfo.GetCultureInfo("en-GB"));
            return promised <= metres + 1e-6 && promised > metres - 1;
        });

    [Fact]
    public void Culture_WhenGerman_WritesItsNumbersAndDates()
    {
        PrintTexts german = Samples.Metres with { Culture = CultureInfo.GetCultureInfo("de-DE") };
        Assert.Equal("1.203,5 g", Plain(german.Grams(1_203_500)));
        Assert.Contains("3. April 2026", german.Date(new DateOnly(2026, 4, 3)), StringComparison.Ordinal);
    }

    [Fact]
    public void Words_OfAllDocuments_AreAskedForAndEachKeyIsUsed()
    {
        HashSet<string> asked = [];
        PrintTexts listening = Samples.Yards with
        {
            Localise = (key, arguments) =>
            {
                asked.Add(key);
                return string.Format(CultureInfo.InvariantCulture, key, arguments);
            },
        };
        IntakeSheet sheet = Samples.Sheet(5);
        IntakeSheetDocument.Render(sheet with { Notes = new string('x', 10_000) }, listening);
        IntakeSheetDocument.Render(sheet with { Kind = Domain.Intake.IntakeKind.Swap, DonorName = null, Conditions = [] }, listening);
        IntakeSheetDocument.Render(sheet with { StaysShut = true }, listening);
        IntakeSheetDocument.Render(sheet, listening with { LengthUnit = PaperLengthUnit.Metres });
        BinLabelDocument.RenderSingle(Samples.Bin with { IsQuarantine = true }, listening);
        LotLabelDocument.RenderSingle(Samples.Lot, listening);
        LotLabelDocument.RenderSingle(Samples.Lot with { Length = null, Milligrams = null, Formerly = "K7M4-P9U" }, listening);
        TestPageDocument.Render(LabelSheetLayout.A4Of21, listening);
        PickUpSlipDocument.Render(Samples.Slip(5), listening);
        PickUpSlipDocument.Render(Samples.Slip(1), listening);
        PickUpSlipDocument.Render(Samples.Slip(5) with { ProjectName = null, DueOn = null }, listening);
        LotLabelDocument.RenderSingle(Samples.Lot, listening with { LengthUnit = PaperLengthUnit.Metres });
        WrapsCardDocument.Render(Samples.Classes, "snug-1", PaperSize.A4, listening);
        SampleGaugeDocument.Render(Samples.Classes, PaperSize.A4, listening);
        WantedPosterDocument.Render(Samples.Poster(7), PaperSize.A4, listening);
        WantedPosterDocument.Render(Samples.Poster(1) with { Lines = [new WantedPosterLine([], null, 1, 9_547_300, [])] }, PaperSize.A4, listening);
        KitPickListDocument.Render(KitPapersTests.List(4), PaperSize.A4, listening);
        KitLabelDocument.Render([KitPapersTests.Label, KitPapersTests.Label with { Lots = 1, IsPacked = false }], LabelSheetLayout.A4Of21, listening);
        WantedPosterDocument.Render(Samples.Poster(8) with { Lines = [.. Samples.Poster(8).Lines.Prepend(new WantedPosterLine([], null, 1, null, []))] }, PaperSize.A4, listening);

        Assert.Equal(PrintWords.All.Order(StringComparer.Ordinal), asked.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Words_WhenTranslated_LeaveNoEnglishOnThePaper()
    {
        PrintTexts pseudo = Samples.Yards with { Localise = (key, _) => new string('Ж', Math.Min(6, key.Length)) };
        string[] own = [.. PrintWords.All.SelectMany(key => key.Split(' ')).Where(word => word.Length > 6 && word.All(char.IsAsciiLetter))];
        using PdfReading sheet = new(IntakeSheetDocument.Render(Samples.Sheet() with { Cautions = [], Quarantine = null, Notes = null }, pseudo));
        using PdfReading slip = new(PickUpSlipDocument.Render(Samples.Slip(), pseudo));
        using PdfReading test = new(TestPageDocument.Render(LabelSheetLayout.A4Of21, pseudo));
        PrintedClassRow[] nameless = [.. Samples.Classes.Select(row => row with { Name = "Ж" })];
        using PdfReading card = new(WrapsCardDocument.Render(nameless, "Ж", PaperSize.A4, pseudo));
        using PdfReading gauge = new(SampleGaugeDocument.Render(nameless, PaperSize.Letter, pseudo));
        WantedPoster nothingButWords = Samples.Poster(1) with { GuildName = "Ж", Address = "", For = ["Ж"], Url = null, Lines = [new WantedPosterLine([], null, 1, null, [(1, "Ж")])] };
        using PdfReading poster = new(WantedPosterDocument.Render(nothingButWords, PaperSize.A4, pseudo));
        Assert.All([sheet, slip, test, card, gauge, poster], reading => Assert.DoesNotContain(own, word => reading.Text.Contains(word, StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData("red")]
    [InlineData("#12345")]
    [InlineData("#12345g")]
    [InlineData("")]
    public void InvalidColour_IsRefusedWithItsText(string hex)
    {
        ArgumentException refusal = Assert.Throws<ArgumentException>(() => new PrintedColour("pink", hex));
        Assert.Contains($"\"{hex}\"", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(double.NaN, 1, 2)]
    [InlineData(-1, 1, 2)]
    [InlineData(2, 1, 3)]
    [InlineData(1, 3, 2)]
    [InlineData(1, 2, double.PositiveInfinity)]
    public void InvalidLength_IsRefused(double low, double likely, double high) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new PrintedLength(low, likely, high));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(0)]
    [InlineData(101)]
    public void InvalidWraps_AreRefused(double wraps) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new PrintedWeightClass("DK", wraps));

    [Theory]
    [InlineData("https://stash.example.org", "b/k7ms", "HTTPS://STASH.EXAMPLE.ORG/B/K7MS")]
    [InlineData("https://stash.example.org/", "/b/k7ms", "HTTPS://STASH.EXAMPLE.ORG/B/K7MS")]
    [InlineData("http://192.0.2.7:5080", "l/k7m4p9u", "HTTP://192.0.2.7:5080/L/K7M4P9U")]
    [InlineData("https://guild.example.org/stash/", "b/k7ms", "HTTPS://GUILD.EXAMPLE.ORG/stash/B/K7MS")]
    public void KnownLinks_AreInCapitalsExceptAForeignFolder(string publicUrl, string path, string expected) =>
        Assert.Equal(expected, QrLink.For(new Uri(publicUrl), path));

    [Fact]
    public void InvalidLink_ThatIsNotAbsolute_IsRefused() =>
        Assert.Throws<ArgumentException>(() => QrLink.For(new Uri("/stash", UriKind.Relative), "b/k7ms"));

    private static string Plain(string text) => text.Replace('\u00A0', ' ');
}
