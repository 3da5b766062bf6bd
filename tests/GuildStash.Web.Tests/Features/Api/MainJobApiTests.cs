using System.Net;
using System.Text.Json;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using UglyToad.PdfPig;
using UglyToad.PdfPig.DocumentLayoutAnalysis.TextExtractor;
using Xunit;

namespace GuildStash.Web.Tests.Features.Api;

/// <summary>The way of the yarn through the API alone, over a real connection.</summary>
public sealed class MainJobApiTests(PostgresFixture postgres)
{
    private const double MetresPerYard = 0.9144;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Waste unless it is said; what is lost waits for a second person, and the bag is open until then.</summary>
    [Fact]
    public async Task Close_WhenTheRestWentSomewhere_TellsWhereAndWhetherItWaits()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync();
        await room.SortAsync(gift, new { grams = 800, weightClass = "dk" });
        string path = $"/api/v1/donations/{gift}/close";

        using HttpResponseMessage unsaid = await ApiRoom.SendAsync(room.Volunteer, path, """{"restTo":"lost"}""");
        Assert.True((await ApiRoom.ProblemAsync(unsaid, HttpStatusCode.UnprocessableEntity)).GetProperty("errors").TryGetProperty("note", out _));
        using HttpResponseMessage nowhere = await ApiRoom.SendAsync(room.Volunteer, path, """{"restTo":"attic"}""");
        await ApiRoom.ProblemAsync(nowhere, HttpStatusCode.BadRequest);
        using HttpResponseMessage noBag = await ApiRoom.SendAsync(room.Volunteer, path, """{"bag":3}""");
        await ApiRoom.ProblemAsync(noBag, HttpStatusCode.UnprocessableEntity);
        using HttpResponseMessage member = await ApiRoom.SendAsync(room.Member, path, "{}");
        await ApiRoom.ProblemAsync(member, HttpStatusCode.Forbidden);

        using HttpResponseMessage waits = await ApiRoom.SendAsync(room.Volunteer, path, """{"restTo":"lost","note":"Not there."}""");
        JsonElement asked = JsonElement.Parse(await waits.Content.ReadAsStringAsync(Cancellation));
        Assert.Equal((HttpStatusCode.Accepted, 150m, "lost", JsonValueKind.String),
            (waits.StatusCode, asked.GetProperty("differenceGrams").GetDecimal(), asked.GetProperty("restTo").GetString(), asked.GetProperty("approvalId").ValueKind));

        using HttpResponseMessage closed = await ApiRoom.SendAsync(room.Volunteer, path, """{"bag":1,"restTo":"passedOn","note":"To the school."}""");
        JsonElement done = JsonElement.Parse(await closed.Content.ReadAsStringAsync(Cancellation));
        Assert.Equal((HttpStatusCode.OK, "passedOn", JsonValueKind.Null), (closed.StatusCode, done.GetProperty("restTo").GetString(), done.GetProperty("approvalId").ValueKind));
        Assert.EndsWith("-0001/1", done.GetProperty("number").GetString(), StringComparison.Ordinal);
        using HttpResponseMessage again = await ApiRoom.SendAsync(room.Volunteer, path, "{}");
        Assert.Equal("bag-closed", (await ApiRoom.ProblemAsync(again, HttpStatusCode.Conflict)).GetProperty("rule").GetString());
    }

    [Fact]
    public async Task Yarn_WhenItGoesTheWholeWayThroughTheApi_IsCountedAtEachStation()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        JsonElement gift = await ApiRoom.PostAsync(room.Volunteer, "/api/v1/donations", new
        {
            kind = "donation",
            grossGrams = 1200.5,
            tareGrams = 20.5,
            conditions = new[] { "smoke", "petHair" },
            donor = new { name = "Dora Donor", contact = "dora@example.org" },
            receivedOn = "2026-04-03",
            wishes = "For blankets",
            notes = "From one household",
        });
        Assert.Matches("^D-[0-9]{4}-0001$", gift.GetProperty("number").GetString());
        Assert.Equal(gift.GetProperty("number").GetString() + "/1", gift.GetProperty("bags")[0].GetProperty("number").GetString());
        string id = gift.GetProperty("id").GetString()!;

        JsonElement lot = await ApiRoom.PostAsync(room.Volunteer, $"/api/v1/donations/{id}/lots", new
        {
            grams = 150,
            putUp = "skein",
            count = 3,
            weightClass = "aran",
            fibres = new[] { new { code = "WO", percent = 100 } },
            fibreBasis = "bandSeen",
            texture = "smooth",
            machineWashable = false,
            colourFamily = "blue",
            colourHex = "#4f6d8f",
            dyeLot = "7A",
        });
        string code = lot.GetProperty("code").GetString()!;
        Assert.Equal("available", lot.GetProperty("status").GetString());
        Assert.Equal(150m, lot.GetProperty("freeGrams").GetDecimal());
        Assert.Equal(Math.Floor(255.0 * MetresPerYard * 10) / 10, lot.GetProperty("metresLow").GetDouble());
        Assert.Equal("Aran, from the class alone.", lot.GetProperty("basis").GetString());
        Assert.False(lot.GetProperty("machineWashable").GetBoolean());
        await room.SortAsync(Guid.Parse(id), new { massUnknown = true, weightClass = "lace" });

        JsonElement hold = await ApiRoom.PostAsync(room.Member, "/api/v1/holds", new { lotCode = code, metres = 100 });
        decimal held = hold.GetProperty("grams").GetDecimal();
        Assert.Equal(code, hold.GetProperty("lotCode").GetString());
        Assert.True(hold.GetProperty("metresLow").GetDouble() >= 100);
        Assert.True(hold.GetProperty("expiresAt").GetDateTimeOffset() > DateTimeOffset.UtcNow);
        Assert.Equal(150m - held, (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{code}")).GetProperty("freeGrams").GetDecimal());

        JsonElement taken = await ApiRoom.PostAsync(room.Volunteer, "/api/v1/checkouts", new { holdId = hold.GetProperty("id").GetString(), grams = 60.5 });
        Assert.Equal(60.5m, taken.GetProperty("grams").GetDecimal());
        JsonElement straight = await ApiRoom.PostAsync(room.Volunteer, "/api/v1/checkouts", new { lotCode = code.ToLowerInvariant(), memberEmail = "other@example.org", grams = 10 });
        Assert.Equal(10m, straight.GetProperty("grams").GetDecimal());

        JsonElement back = await ApiRoom.PostAsync(room.Volunteer, $"/api/v1/checkouts/{taken.GetProperty("id").GetString()}/returns", new { grams = 20, conditions = Array.Empty<string>() });
        Assert.True(back.GetProperty("isFree").GetBoolean());
        Assert.Equal(40.5m, back.GetProperty("stillAtHomeGrams").GetDecimal());
        JsonElement waits = await ApiRoom.PostAsync(room.Volunteer, $"/api/v1/checkouts/{straight.GetProperty("id").GetString()}/returns", new { grams = 4, conditions = new[] { "smoke" } });
        Assert.False(waits.GetProperty("isFree").GetBoolean());

        JsonElement after = await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{code.Replace("-", "", StringComparison.Ordinal)}");
        Assert.Equal(103.5m, after.GetProperty("grams").GetDecimal());
        Assert.Equal(99.5m, after.GetProperty("freeGrams").GetDecimal());

        JsonElement summary = await ApiRoom.GetAsync(room.Member, "/api/v1/inventory/summary");
        JsonElement row = summary.GetProperty("rows").EnumerateArray().Single(r => r.GetProperty("weightClass").GetString() == "aran");
        Assert.Equal("blue", row.GetProperty("colourFamily").GetString());
        Assert.Equal(99.5m, row.GetProperty("grams").GetDecimal());
        Assert.Equal(2, summary.GetProperty("total").GetProperty("lots").GetInt32());
        Assert.Equal(99.5m, summary.GetProperty("total").GetProperty("grams").GetDecimal());
        Assert.Equal(row.GetProperty("metresLow").GetDouble(), summary.GetProperty("total").GetProperty("metresLow").GetDouble());
    }

    [Fact]
    public async Task Papers_WhenFetchedWithAToken_SayWhatTheBooksSay()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        JsonElement gift = await ApiRoom.PostAsync(room.Volunteer, "/api/v1/donations", new
        {
            kind = "swap",
            donor = new { name = "Zoë Ängström" },
            bags = new object[]
            {
                new { grossGrams = 500, tareGrams = 10, conditions = new[] { "mothball" } },
                new { grossGrams = 700.5, tareGrams = 0 },
            },
        });
        Guid id = gift.GetProperty("id").GetGuid();
        string code = (await ApiRoom.PostAsync(room.Volunteer, $"/api/v1/donations/{id}/lots", new { bag = 2, grams = 96, weightClass = "dk", colourHex = "b5485a", fibres = new[] { new { code = "wo" } } }))
            .GetProperty("code").GetString()!;

        string first = await TextAsync(room.Volunteer, $"/api/v1/donations/{id}/intake-sheet.pdf");
        Assert.Contains("/\u00A01", first.Replace(" ", "\u00A0", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Contains(gift.GetProperty("number").GetString()!, first, StringComparison.Ordinal);
        Assert.Contains("Zoë Ängström", first, StringComparison.Ordinal);
        Assert.Contains("mothballs are pesticides", first, StringComparison.Ordinal);
        Assert.DoesNotContain(code, first, StringComparison.Ordinal);

        string second = await TextAsync(room.Volunteer, $"/api/v1/donations/{id}/intake-sheet.pdf?bag=2");
        Assert.Contains(code, second, StringComparison.Ordinal);
        Assert.Contains("believed", second, StringComparison.Ordinal);
        Assert.Contains("wool", second, StringComparison.Ordinal);
        Assert.DoesNotContain("mothballs", second, StringComparison.Ordinal);

        string bin = (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{code}")).GetProperty("binCode").GetString()!;
        string label = await TextAsync(room.Volunteer, $"/api/v1/bins/{bin}/label.pdf");
        Assert.Contains(bin, label, StringComparison.Ordinal);
        Assert.Contains("Sorting table", label, StringComparison.Ordinal);

        using HttpResponseMessage forbidden = await room.Member.GetAsync($"/api/v1/donations/{id}/intake-sheet.pdf", Cancellation);
        await ApiRoom.ProblemAsync(forbidden, HttpStatusCode.Forbidden);
        using HttpResponseMessage noBag = await room.Volunteer.GetAsync($"/api/v1/donations/{id}/intake-sheet.pdf?bag=3", Cancellation);
        await ApiRoom.ProblemAsync(noBag, HttpStatusCode.NotFound);
        using HttpResponseMessage noNumber = await room.Volunteer.GetAsync($"/api/v1/donations/{id}/intake-sheet.pdf?bag=x", Cancellation);
        await ApiRoom.ProblemAsync(noNumber, HttpStatusCode.BadRequest);
        using HttpResponseMessage noBin = await room.Volunteer.GetAsync("/api/v1/bins/K7M-T/label.pdf", Cancellation);
        await ApiRoom.ProblemAsync(noBin, HttpStatusCode.NotFound);
    }

    [Fact]
    public async Task Lots_WhenFiltersCombine_AreThoseThatMatchAll()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync(5000);
        string blueWool = await room.SortAsync(gift, new { grams = 200, weightClass = "dk", colourHex = "#1f4e8c", fibres = new[] { new { code = "WO" } }, machineWashable = "yes", dyeLot = "AB12" });
        string nearBlue = await room.SortAsync(gift, new { grams = 50, weightClass = "dk", colourHex = "#22508f", machineWashable = true });
        string red = await room.SortAsync(gift, new { grams = 300, weightClass = "worsted", colourHex = "#b01020", fibres = new[] { new { code = "CO" } } });
        string unweighed = await room.SortAsync(gift, new { massUnknown = true });

        Assert.Equal([unweighed, red, nearBlue, blueWool], await CodesAsync(room, ""));
        Assert.Equal([red], await CodesAsync(room, "?weightClass=worsted"));
        Assert.Equal([unweighed], await CodesAsync(room, "?weightClass=unknown&colourFamily=unknown"));
        Assert.Equal([nearBlue, blueWool], await CodesAsync(room, "?washable=true&colourFamily=blue"));
        Assert.Equal([unweighed, red], await CodesAsync(room, "?washable=false"));
        Assert.Equal([blueWool], await CodesAsync(room, "?fibre=wo&weightClass=dk"));
        Assert.Equal([red, blueWool], await CodesAsync(room, "?minMetres=200"));
        Assert.Equal([unweighed], await CodesAsync(room, "?status=unweighed"));
        Assert.Equal([blueWool], await CodesAsync(room, "?q=ab12"));
        Assert.Equal([blueWool, nearBlue], await CodesAsync(room, "?nearHex=1f4e8c"));
        Assert.Equal([nearBlue, blueWool], await CodesAsync(room, "?nearHex=%2322508f&within=5&washable=true"));
        Assert.Equal([nearBlue], await CodesAsync(room, "?nearHex=22508f&within=0"));
        Assert.Empty(await CodesAsync(room, "?nearHex=00ff00"));
        string bin = (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{red}")).GetProperty("binCode").GetString()!;
        Assert.Equal([unweighed, red, nearBlue, blueWool], await CodesAsync(room, "?bin=" + bin));

        JsonElement page = await ApiRoom.GetAsync(room.Member, "/api/v1/lots?page=2&pageSize=3");
        Assert.Equal(blueWool, page.GetProperty("items")[0].GetProperty("code").GetString());
        Assert.Equal((2, 3, 4), (page.GetProperty("page").GetInt32(), page.GetProperty("pageSize").GetInt32(), page.GetProperty("total").GetInt32()));
        JsonElement nearPage = await ApiRoom.GetAsync(room.Member, "/api/v1/lots?nearHex=1f4e8c&page=2&pageSize=1");
        Assert.Equal((nearBlue, 2), (nearPage.GetProperty("items")[0].GetProperty("code").GetString(), nearPage.GetProperty("total").GetInt32()));
        Assert.Equal(50, (await ApiRoom.GetAsync(room.Member, "/api/v1/lots")).GetProperty("pageSize").GetInt32());
    }

    [Fact]
    public async Task KnownColours_WhenAskedFor_AreDescribedAndCompared()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        JsonElement navy = await ApiRoom.GetAsync(room.Member, "/api/v1/colours/describe?hex=%23000080");
        Assert.Equal("blue", navy.GetProperty("family").GetString());
        Assert.Equal("#ffffff", navy.GetProperty("textHex").GetString());
        Assert.Equal(3, navy.GetProperty("lab").GetArrayLength());
        Assert.Equal(264.05, navy.GetProperty("oklch")[2].GetDouble(), 0.1);

        // First pair of Sharma, Wu and Dalal's table of test data, 2005.
        JsonElement known = await ApiRoom.GetAsync(room.Member, "/api/v1/colours/difference?a=lab:50,2.6772,-79.7751&b=lab:50,0,-82.7485");
        Assert.Equal(2.0425, known.GetProperty("ciede2000").GetDouble(), 0.00005);
        Assert.Equal(0, (await ApiRoom.GetAsync(room.Member, "/api/v1/colours/difference?a=8a3c2e&b=%238A3C2E")).GetProperty("ciede2000").GetDouble());
    }

    private static async Task<string[]> CodesAsync(ApiRoom room, string query) =>
        [.. (await ApiRoom.GetAsync(room.Member, "/api/v1/lots" + query)).GetProperty("items").EnumerateArray().Select(l => l.GetProperty("code").GetString()!)];

    private static async Task<string> TextAsync(HttpClient client, string path)
    {
        using HttpResponseMessage answer = await client.GetAsync(path, Cancellation);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal("application/pdf", answer.Content.Headers.ContentType?.MediaType);
        using PdfDocument pdf = PdfDocument.Open(await answer.Content.ReadAsByteArrayAsync(Cancellation));
        return string.Join(" ", pdf.GetPages().Select(page => ContentOrderTextExtractor.GetText(page)));
    }
}
