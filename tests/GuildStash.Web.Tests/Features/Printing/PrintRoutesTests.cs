using System.Net;
using GuildStash.Domain.People;
using GuildStash.Printing;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using UglyToad.PdfPig;
using UglyToad.PdfPig.DocumentLayoutAnalysis.TextExtractor;
using Xunit;

namespace GuildStash.Web.Tests.Features.Printing;

/// <summary>Papers and short addresses as a browser gets them.</summary>
public sealed class PrintRoutesTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Papers_WhenOpenedInABrowser_SayWhatTheBooksSay()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await using (var db = room.Guild.Look())
        {
            await db.People.ExecuteUpdateAsync(p => p.SetProperty(x => x.LengthUnit, LengthUnit.Yards), Cancellation);
        }

        HttpClient volunteer = await room.BrowserOfAsync(room.Guild.Volunteer);
        HttpClient member = await room.BrowserOfAsync(room.Guild.Member);
        Guid gift = await room.GiveAsync();
        string code = await room.SortAsync(gift, new { grams = 150, weightClass = "aran", colourHex = "#4f6d8f", fibres = new[] { new { code = "WO" } } });
        string second = await room.SortAsync(gift, new { massUnknown = true });
        string bin = (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{code}")).GetProperty("binCode").GetString()!;
        PlacedRequest request = await room.Guild.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(room.Guild.Member, new HoldInput([new WantedYarn(code, 60, null)]), Cancellation));

        Assert.Contains(code, await TextAsync(volunteer, $"/print/intake-sheet/{gift}.pdf?bag=1"), StringComparison.Ordinal);
        Assert.Contains(bin, await TextAsync(volunteer, $"/print/bin-label/{bin}.pdf"), StringComparison.Ordinal);
        string sheet = await TextAsync(volunteer, $"/print/bin-labels.pdf?codes={bin},{bin.ToLowerInvariant()}&sheet=a4-99x38-2x7&start=14&nudgeX=0.5&nudgeY=-1", pages: 2);
        Assert.Equal(2, sheet.Split(bin).Length - 1);
        string labels = await TextAsync(volunteer, $"/print/lot-labels.pdf?codes={code},{second}");
        Assert.Contains(code, labels, StringComparison.Ordinal);
        Assert.Contains("at least 255", labels, StringComparison.Ordinal);
        Assert.Contains("not weighed", labels, StringComparison.Ordinal);
        string slip = await TextAsync(member, $"/print/pick-up-slip/{request.Id}.pdf");
        Assert.Contains(request.Number, slip, StringComparison.Ordinal);
        Assert.Contains("Mia Member", slip, StringComparison.Ordinal);
        Assert.Contains("60", slip, StringComparison.Ordinal);
        Assert.Contains("102", slip, StringComparison.Ordinal);
        Assert.Contains("Kept for you until", slip, StringComparison.Ordinal);
        await TextAsync(volunteer, "/print/test-page.pdf?sheet=letter-4x2-2x5", pages: 2);
        string card = await TextAsync(member, "/print/wraps-card.pdf?paper=letter", pages: 2);
        Assert.Contains("snug-1", card, StringComparison.Ordinal);
        Assert.Contains("132 yd to 220 yd", card.Replace('\u00A0', ' '), StringComparison.Ordinal);
        Assert.Contains("Shortest sample", await TextAsync(member, "/print/sample-gauge.pdf"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Labels_WhenALotIsKeptApart_SayQuarantine()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient volunteer = await room.BrowserOfAsync(room.Guild.Volunteer);
        string apart = await room.SortAsync(await room.GiveAsync(1000, "damp"), new { grams = 150 });
        string free = await room.SortAsync(await room.GiveAsync(), new { grams = 150 });

        Assert.Contains("QUARANTINE", await TextAsync(volunteer, $"/print/lot-labels.pdf?codes={apart}"), StringComparison.Ordinal);
        Assert.DoesNotContain("QUARANTINE", await TextAsync(volunteer, $"/print/lot-labels.pdf?codes={free}"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sheet_OfABagThatStaysShut_SaysWhatToDoWithIt()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient volunteer = await room.BrowserOfAsync(room.Guild.Volunteer);

        string sheet = await TextAsync(volunteer, $"/print/intake-sheet/{await room.GiveAsync(1000, "insects")}.pdf?bag=1");

        Assert.Contains("What to do with this bag", sheet, StringComparison.Ordinal);
        Assert.DoesNotContain("Promise the lower end", sheet, StringComparison.Ordinal);
    }

    [Fact]
    public async Task InvalidPapers_WhenAskedFor_AreRefusedInASentence()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient volunteer = await room.BrowserOfAsync(room.Guild.Volunteer);
        (string Path, HttpStatusCode Status, string Says)[] cases =
        [
            ("/print/bin-labels.pdf", HttpStatusCode.UnprocessableEntity, "codes"),
            ("/print/bin-labels.pdf?codes=K7M-T", HttpStatusCode.NotFound, "check character"),
            ("/print/lot-labels.pdf?codes=AAAA-AAA", HttpStatusCode.NotFound, "check character"),
            ("/print/test-page.pdf?sheet=a5", HttpStatusCode.UnprocessableEntity, "a4-63x38-3x7"),
            ("/print/test-page.pdf?start=22", HttpStatusCode.UnprocessableEntity, "1 to 21"),
            ("/print/test-page.pdf?nudgeX=9", HttpStatusCode.UnprocessableEntity, "5 mm"),
            ("/print/test-page.pdf?nudgeX=NaN", HttpStatusCode.BadRequest, "nudgeX"),
            ("/print/wraps-card.pdf?paper=a3", HttpStatusCode.UnprocessableEntity, "a4, letter"),
            ("/print/sample-gauge.pdf?paper=a3", HttpStatusCode.UnprocessableEntity, "a4, letter"),
            ("/print/intake-sheet/0199a1b2-0000-7000-8000-000000000000.pdf", HttpStatusCode.NotFound, "no such donation"),
            ("/print/pick-up-slip/0199a1b2-0000-7000-8000-000000000000.pdf", HttpStatusCode.NotFound, "no such request"),
        ];
        foreach ((string path, HttpStatusCode status, string says) in cases)
        {
            using HttpResponseMessage answer = await volunteer.GetAsync(path, Cancellation);
            Assert.Equal(status, answer.StatusCode);
            Assert.Equal("text/plain", answer.Content.Headers.ContentType?.MediaType);
            Assert.Contains(says, Spaces.Plain(await answer.Content.ReadAsStringAsync(Cancellation)), StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Papers_WhenTheyAreAnothersOrForVolunteers_AreRefused()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync();
        string code = await room.SortAsync(gift, new { grams = 150, weightClass = "aran" });
        PlacedRequest request = await room.Guild.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(room.Guild.Member, new HoldInput([new WantedYarn(code, 60, null)]), Cancellation));
        HttpClient other = await room.BrowserOfAsync(room.Guild.OtherMember);
        using HttpResponseMessage sheet = await other.GetAsync($"/print/intake-sheet/{gift}.pdf", Cancellation);
        Assert.Equal(HttpStatusCode.Forbidden, sheet.StatusCode);
        using HttpResponseMessage slip = await other.GetAsync($"/print/pick-up-slip/{request.Id}.pdf", Cancellation);
        Assert.Equal(HttpStatusCode.NotFound, slip.StatusCode);
        using HttpResponseMessage visitor = await room.Nobody.GetAsync($"/print/intake-sheet/{gift}.pdf", Cancellation);
        Assert.Equal(HttpStatusCode.Redirect, visitor.StatusCode);
        Assert.Contains("returnUrl", visitor.Headers.Location!.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task ShortAddresses_WhenScanned_LeadToTheirPages()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient volunteer = await room.BrowserOfAsync(room.Guild.Volunteer);
        LoggedGift gift = await room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Guild.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, [])] }, Cancellation));
        string code = await room.SortAsync(gift.Id, new { grams = 150 });
        string bare = code.Replace("-", "", StringComparison.Ordinal);
        await LeadsAsync(volunteer, $"/L/{bare}", $"/inventory/{bare}");
        await LeadsAsync(volunteer, $"/l/{code.ToLowerInvariant()}", $"/inventory/{bare}");
        string bin = (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{code}")).GetProperty("binCode").GetString()!;
        await LeadsAsync(volunteer, $"/B/{bin}", $"/bins/{bin.Replace("-", "", StringComparison.Ordinal)}");
        await LeadsAsync(volunteer, "/b/%2F%2Fexample.org", "/bins/%252F%252Fexample.org");
        await LeadsAsync(volunteer, $"/G/{gift.Number.ToLowerInvariant()}/1", $"/intake/{gift.Id}?bag=1");
        await LeadsAsync(volunteer, $"/g/{gift.Bags[0].Id}", $"/intake/{gift.Id}");
        await CodesLeadAsync(room, volunteer, gift.Id, code, bin);
        using HttpResponseMessage none = await volunteer.GetAsync("/g/D-1999-0001", Cancellation);
        Assert.Equal(HttpStatusCode.NotFound, none.StatusCode);
        using HttpResponseMessage visitor = await room.Nobody.GetAsync($"/b/{bin}", Cancellation);
        Assert.EndsWith($"/account/sign-in?returnUrl=%2Fb%2F{bin}", visitor.Headers.Location!.ToString(), StringComparison.Ordinal);
    }

    /// <summary>What the papers put into their codes is an address of this guild that leads to the right page.</summary>
    private static async Task CodesLeadAsync(ApiRoom room, HttpClient client, Guid gift, string lot, string bin)
    {
        const string Base = "HTTPS://ROOM.EXAMPLE.ORG";
        PrintTexts texts = PrintTexts.English(PaperLengthUnit.Metres);
        IntakeSheet sheet = await room.Guild.DoAsync<IntakeSheetData, IntakeSheet>(u => u.SheetAsync(room.Guild.Volunteer, gift, 1, texts, Cancellation));
        BinLabel binLabel = Assert.Single(await room.Guild.DoAsync<BinLabelData, IReadOnlyList<BinLabel>>(u => u.LabelsAsync(room.Guild.Volunteer, [bin], Cancellation)));
        LotLabel lotLabel = Assert.Single(await room.Guild.DoAsync<LotLabelData, IReadOnlyList<LotLabel>>(u => u.LabelsAsync(room.Guild.Volunteer, [lot], texts, Cancellation)));
        Assert.All([sheet.BagUrl, binLabel.Url, lotLabel.Url], url => Assert.StartsWith(Base, url, StringComparison.Ordinal));
        await LeadsAsync(client, sheet.BagUrl[Base.Length..], $"/intake/{gift}?bag=1");
        await LeadsAsync(client, binLabel.Url[Base.Length..], "/bins/" + bin.Replace("-", "", StringComparison.Ordinal));
        await LeadsAsync(client, lotLabel.Url[Base.Length..], "/inventory/" + lot.Replace("-", "", StringComparison.Ordinal));
    }

    private static async Task LeadsAsync(HttpClient client, string from, string to)
    {
        using HttpResponseMessage answer = await client.GetAsync(from, Cancellation);
        Assert.Equal(HttpStatusCode.Redirect, answer.StatusCode);
        Assert.Equal(to, answer.Headers.Location!.OriginalString);
    }

    private static async Task<string> TextAsync(HttpClient client, string path, int pages = 1)
    {
        using HttpResponseMessage answer = await client.GetAsync(path, Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, $"{path}: {(int)answer.StatusCode} {await answer.Content.ReadAsStringAsync(Cancellation)}");
        Assert.Equal("application/pdf", answer.Content.Headers.ContentType?.MediaType);
        using PdfDocument pdf = PdfDocument.Open(await answer.Content.ReadAsByteArrayAsync(Cancellation));
        Assert.Equal(pages, pdf.NumberOfPages);
        return string.Join(" ", pdf.GetPages().Select(page => ContentOrderTextExtractor.GetText(page)));
    }
}
