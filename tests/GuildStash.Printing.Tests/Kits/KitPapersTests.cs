using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;

namespace GuildStash.Printing.Tests.Kits;

public sealed class KitPapersTests
{
    public static TheoryData<string> Sheets => new(LabelSheetLayout.All.Select(layout => layout.Key));

    internal static KitLabel Label { get; } = new()
    {
        Number = "K-2026-0007",
        Url = "HTTPS://STASH.EXAMPLE.ORG/K/K-2026-0007",
        Piece = "Child's hat",
        Pieces = 2,
        Project = "Winter hats for the shelter",
        Colours = [new PrintedColour("pink", "#c58aa0"), new PrintedColour("black", "#101113"), new PrintedColour("several", null)],
        Milligrams = 141_500,
        Lots = 3,
        IsPacked = true,
        Care = "believed to be wool; 75% wool, 25% polyamide; hand wash",
    };

    [Fact]
    public void Roundtrip_PickList_SaysWhatIsFetchedForWhichKit()
    {
        using PdfReading reading = new(KitPickListDocument.Render(List(4), PaperSize.A4, Samples.Yards));
        string[] words =
        [
            "Pick list", "Winter hats for the shelter", "2 kits: K-2026-0007, K-2026-0008", "K7M-S", "B2C3-D4U", "dusty red", "DK", "K-2026-0007: Body", "71.5 g",
            "Weights: internal use, not for trade.", "Page 1 of 1",
        ];
        Assert.All(words, text => Assert.Contains(text, reading.Text.Replace('\n', ' '), StringComparison.Ordinal));
    }

    [Fact]
    public void Render_InAnyOrder_ListsSitesAndBinsInOrder()
    {
        KitPickList list = List(4);
        list = list with { Rows = [.. list.Rows.Select((row, i) => row with { BinCode = $"B{9 - i}C-T", Site = i < 2 ? "Old dye house" : "Annexe" })] };
        using PdfReading reading = new(KitPickListDocument.Render(list, PaperSize.A4, Samples.Metres));
        string[] bins = ["B6C-T", "B7C-T", "B8C-T", "B9C-T"];
        double[] heights = [.. bins.Select(bin => PdfReading.Line(reading.Pages[0], bin).BaselineFromTop(reading.Pages[0]))];
        Assert.Equal(heights.Order(), heights);
    }

    [Fact]
    public void Roundtrip_EveryRow_HasTheCodeOfItsOwnLot()
    {
        KitPickList list = List(5);
        byte[] pdf = KitPickListDocument.Render(list, PaperSize.A4, Samples.Yards);
        using PdfReading reading = new(pdf);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 300);
        foreach (KitPickRow row in list.Rows)
        {
            double middle = PdfReading.Line(reading.Pages[0], row.LotCode).BaselineFromTop(reading.Pages[0]) - 1;
            Assert.Equal(row.Url, seen.Decode(new Box(60, middle - 8.4, 32, 16.8)));
        }
    }

    [Theory]
    [InlineData("a4", 1, 1, 297)]
    [InlineData("a4", 40, 3, 297)]
    [InlineData("letter", 40, 4, 279.4)]
    public void Render_OnEitherPaper_FlowsOverPagesWithATickBoxEach(string key, int rows, int pages, double height)
    {
        using PdfReading reading = new(KitPickListDocument.Render(List(rows), PaperSize.Find(key)!, Samples.Yards));
        Assert.Equal(pages, reading.Pages.Count);
        Assert.All(reading.Pages, page => Assert.Equal(height, PdfReading.Millimetres(page.Height), 0.05));
        Assert.Contains($"Page {pages} of {pages}", PdfReading.TextOf(reading.Pages[^1]), StringComparison.Ordinal);
        int boxes = reading.Pages.SelectMany(PdfReading.Shapes).Count(box => Math.Abs(box.Width - 5.2) < 0.01 && Math.Abs(box.Height - 5.2) < 0.01);
        Assert.Equal(rows, boxes);
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void Render_WhenALineLiesOnTheTable_ItsBoxHasATick()
    {
        KitPickList list = List(1);
        using PdfReading open = new(KitPickListDocument.Render(list, PaperSize.A4, Samples.Yards));
        using PdfReading picked = new(KitPickListDocument.Render(list with { Rows = [list.Rows[0] with { IsPicked = true }] }, PaperSize.A4, Samples.Yards));
        Assert.Equal(PdfReading.Paths(open.Pages[0]).Count() + 2, PdfReading.Paths(picked.Pages[0]).Count());
    }

    [Fact]
    public void ExtremePickList_StaysInItsCells()
    {
        KitPickList list = List(3);
        list = list with
        {
            For = string.Concat(Enumerable.Repeat("project ", 200)),
            Kits = [.. Enumerable.Range(1, 100).Select(i => $"K-2026-{i:0000}")],
            Rows = [.. list.Rows.Select(row => row with { Part = new string('W', 100), Colour = new PrintedColour(new string('M', 500), "#000000"), MilligramsToTake = 1_000_000_000, Site = new string('S', 100) })],
        };
        using PdfReading reading = new(KitPickListDocument.Render(list, PaperSize.Letter, Samples.Yards));
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void Invalid_PickListsAndLabels_AreRefused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => KitPickListDocument.Render(List(0), PaperSize.A4, Samples.Yards));
        KitPickList one = List(1);
        Assert.Throws<ArgumentOutOfRangeException>(() => KitPickListDocument.Render(one with { Rows = [one.Rows[0] with { MilligramsToTake = -1 }] }, PaperSize.A4, Samples.Yards));
        Assert.Throws<ArgumentOutOfRangeException>(() => KitLabelDocument.Render([Label with { Pieces = 0 }], LabelSheetLayout.All[0], Samples.Yards));
        Assert.Throws<ArgumentOutOfRangeException>(() => KitLabelDocument.Render([], LabelSheetLayout.All[0], Samples.Yards));
    }

    [Theory]
    [MemberData(nameof(Sheets))]
    public void Roundtrip_FullSheetOfLabels_HasEveryCodeInItsPlaceAndNoWordsOnOneAnother(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        KitLabel[] labels = [.. Enumerable.Range(1, layout.LabelsPerPage).Select(i => Label with { Number = $"K-2026-{i:0000}", Url = $"HTTPS://STASH.EXAMPLE.ORG/K/K-2026-{i:0000}" })];
        byte[] pdf = KitLabelDocument.Render(labels, layout, Samples.Metres);
        using PdfReading reading = new(pdf);
        PageChecks.AllTextIsOnThePage(reading, 4);
        PageChecks.NoTextOverlaps(reading);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 300);
        for (int place = 0; place < layout.LabelsPerPage; place++)
        {
            (double x, double y) = layout.Corner(place);
            Box room = new(x, y, layout.LabelWidth, layout.LabelHeight);
            Assert.Equal(labels[place].Url, seen.Decode(room));
            Assert.All(PdfReading.Lines(reading.Pages[0]).Where(line => line.Text == labels[place].Number), line => Assert.InRange(line.Left, room.X, room.Right));
        }
    }

    [Fact]
    public void Roundtrip_Label_SaysWhatItIsForAndWhatItIsBelievedToBe()
    {
        using PdfReading reading = new(KitLabelDocument.Render([Label], LabelSheetLayout.All[0], Samples.Metres));
        string text = reading.Text.Replace('\n', ' ').Replace('\u00A0', ' ');
        Assert.All(["K-2026-0007", "2 × Child's hat", "Winter hats for the shelter", "141.5 g from 3 lots", "believed to be wool", "hand wash"], word => Assert.Contains(word, text, StringComparison.Ordinal));
        Assert.DoesNotContain("not packed", text, StringComparison.Ordinal);
        using PdfReading waiting = new(KitLabelDocument.Render([Label with { IsPacked = false }], LabelSheetLayout.All[0], Samples.Metres));
        Assert.Contains("not packed yet", waiting.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Render_WithALongName_SwatchesStandClearOfTheCareBelowThem()
    {
        KitLabel label = Label with { Piece = "Cat blanket, any class", Care = "100 % acrylic; believed to be acrylic, wool; machine washable" };
        using PdfReading reading = new(KitLabelDocument.Render([label], LabelSheetLayout.A4Of21, Samples.Metres));
        Page page = reading.Pages[0];
        TextLine care = PdfReading.Lines(page).First(line => line.Text.StartsWith("100 % acrylic", StringComparison.Ordinal));
        double top = care.Letters.Min(letter => PdfReading.BoxOf(page, letter.BoundingBox).Y);
        Box swatch = PdfReading.Shapes(page).First(box => Math.Abs(box.Width - box.Height) < 0.01 && box.Width is > 1.5 and < 4);
        Assert.True(top - swatch.Bottom > 1.3, $"{top - swatch.Bottom} mm");
    }

    [Theory]
    [MemberData(nameof(Sheets))]
    public void ExtremeLabel_StaysOnItsLabel(string key)
    {
        LabelSheetLayout layout = LabelSheetLayout.Find(key)!;
        KitLabel label = Label with
        {
            Piece = string.Concat(Enumerable.Repeat("long name ", 30)),
            Project = new string('P', 150),
            Colours = [.. Enumerable.Repeat(new PrintedColour("pink", "#c58aa0"), 50)],
            Milligrams = 1_000_000_000,
            Pieces = 1000,
            Care = string.Concat(Enumerable.Repeat("believed to be wool; ", 40)),
        };
        using PdfReading reading = new(KitLabelDocument.Render([label], layout, Samples.Yards));
        Page page = reading.Pages[0];
        (double x, double y) = layout.Corner(0);
        Assert.All(PdfReading.Lines(page), line => Assert.True(line.Left >= x && line.Right <= x + layout.LabelWidth && line.BaselineFromTop(page) <= y + layout.LabelHeight, line.Text));
        PageChecks.NoTextOverlaps(reading);
    }

    internal static KitPickList List(int rows) => new()
    {
        GuildName = "Riverside Spinners and Knitters",
        For = "Winter hats for the shelter",
        Kits = ["K-2026-0007", "K-2026-0008"],
        Rows =
        [
            .. Samples.Slip(rows).Rows.Select((row, i) => new KitPickRow
            {
                KitNumber = i % 2 == 0 ? "K-2026-0007" : "K-2026-0008",
                Part = i % 3 == 0 ? "Body" : "Brim",
                LotCode = row.LotCode,
                Colour = row.Colour,
                WeightClass = row.WeightClass,
                MilligramsToTake = 71_500,
                BinCode = row.BinCode ?? "Z9Z-T",
                Url = row.Url!,
            }),
        ],
    };
}
