using GuildStash.Printing.Drawing;

namespace GuildStash.Printing.Tests.PickUp;

public sealed class PickUpSlipDocumentTests
{
    [Fact]
    public void Render_UnlessAllWasWeighedOnVerifiedScales_SaysNotForTradeOnce()
    {
        using PdfReading internalUse = new(PickUpSlipDocument.Render(Samples.Slip(), Samples.Yards));
        using PdfReading forTrade = new(PickUpSlipDocument.Render(Samples.Slip() with { IsForTrade = true }, Samples.Yards));
        Assert.Equal(2, internalUse.Text.Split("internal use, not for trade").Length);
        Assert.DoesNotContain("trade", forTrade.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Roundtrip_Slip_SaysWhoTakesWhat()
    {
        using PdfReading reading = new(PickUpSlipDocument.Render(Samples.Slip(4), Samples.Yards));
        string[] words =
        [
            "Pick-up slip P-2026-0117", "Ada Example", "Winter hats for the shelter", "To be returned by", "Friday, 15 May 2026", "Kept for you until", "Friday, 24 April 2026", "K7M4-P9U", "dusty red", "Fingering",
            "1,450 yd", "1,203 g", "In all: 1,387.5 g from 4 lots", "Leftovers come back against weight", "Received by", "Page 1 of 1",
        ];
        Assert.All(words, text => Assert.Contains(text, reading.Text, StringComparison.Ordinal));
    }

    [Fact]
    public void Render_InAnyOrder_ListsBinsInOrderAndLotsWithoutABinLast()
    {
        using PdfReading reading = new(PickUpSlipDocument.Render(Samples.Slip(5), Samples.Yards));
        string[] bins = ["B2C-T", "K7M-S", "K7W-8", "Q3T-J", "no bin"];
        double[] heights = [.. bins.Select(bin => PdfReading.Line(reading.Pages[0], bin).BaselineFromTop(reading.Pages[0]))];
        Assert.Equal(heights.Order(), heights);
    }

    [Fact]
    public void Roundtrip_EveryRow_HasTheCodeOfItsOwnLot()
    {
        PickUpSlip slip = Samples.Slip(5);
        byte[] pdf = PickUpSlipDocument.Render(slip, Samples.Yards);
        using PdfReading reading = new(pdf);
        Rasteriser seen = Rasteriser.Render(pdf, dotsPerInch: 300);
        foreach (PickUpRow row in slip.Rows)
        {
            double middle = PdfReading.Line(reading.Pages[0], row.LotCode).BaselineFromTop(reading.Pages[0]) - 1;
            Assert.Equal(row.Url, seen.Decode(new Box(55, middle - 8.4, 32, 16.8)));
        }
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(9, 1)]
    [InlineData(13, 2)]
    [InlineData(40, 4)]
    public void Render_WithManyRows_FlowsOverPagesWithHeadingsAndATickBoxEach(int rows, int pages)
    {
        using PdfReading reading = new(PickUpSlipDocument.Render(Samples.Slip(rows), Samples.Yards));
        Assert.Equal(pages, reading.Pages.Count);
        int boxes = reading.Pages.SelectMany(PdfReading.Shapes).Count(box => Math.Abs(box.Width - 5.2) < 0.01 && Math.Abs(box.Height - 5.2) < 0.01);
        Assert.Equal(rows, boxes);
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void ExtremeTexts_StayInTheirCells()
    {
        PickUpSlip slip = Samples.Slip(3);
        slip = slip with
        {
            MemberName = new string('W', 5_000),
            ProjectName = string.Concat(Enumerable.Repeat("project ", 1_000)),
            Rows = [.. slip.Rows.Select(row => row with { Colour = new PrintedColour(new string('M', 1_000), "#000000"), MilligramsToTake = 1_000_000_000, LowMetres = 9_999_999 })],
        };
        using PdfReading reading = new(PickUpSlipDocument.Render(slip, Samples.Yards));
        PageChecks.AllTextIsOnThePage(reading, 8);
        PageChecks.NoTextOverlaps(reading);
    }

    [Fact]
    public void InvalidSlip_WithoutRows_IsRefused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => PickUpSlipDocument.Render(Samples.Slip(0), Samples.Yards));

    [Fact]
    public void InvalidMass_BelowZero_IsRefused()
    {
        PickUpSlip slip = Samples.Slip(1);
        Assert.Throws<ArgumentOutOfRangeException>(
            () => PickUpSlipDocument.Render(slip with { Rows = [slip.Rows[0] with { MilligramsToTake = -1 }] }, Samples.Yards));
    }
}
