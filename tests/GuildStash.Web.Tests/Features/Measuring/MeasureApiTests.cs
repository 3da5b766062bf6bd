using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Measuring;

/// <summary>The measuring arithmetic through the API; the values themselves are tested in the domain.</summary>
public sealed class MeasureApiTests(SharedApiRoom shared) : IClassFixture<SharedApiRoom>
{
    private const string Estimates = "/api/v1/estimates";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static double At(JsonElement answer, string range, string point) => answer.GetProperty(range).GetProperty(point).GetDouble();

    private static string[] Texts(JsonElement list) => [.. list.EnumerateArray().Select(text => text.GetString()!)];

    private static Task<HttpResponseMessage> SendAsync(ApiRoom room, string path, object body) => room.Member.PostAsJsonAsync(path, body, Cancellation);

    private static async Task<JsonElement> PostAsync(ApiRoom room, string path, object body)
    {
        using HttpResponseMessage answer = await SendAsync(room, path, body);
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonElement.Parse(text);
    }

    [Fact]
    public async Task Estimate_WhenEvidenceDiffers_TellsLengthClassAndBasis()
    {
        ApiRoom room = shared.Room;

        // Common practice: the lower end of aran, 170 yd to 100 g.
        JsonElement aran = await PostAsync(room, Estimates, new { grams = 150, weightClass = "aran" });
        Assert.Equal((255.0, 300.0), (At(aran, "yards", "low"), At(aran, "yards", "high")));
        Assert.Equal("aran", aran.GetProperty("weightClass").GetProperty("key").GetString());
        Assert.Equal("Aran, from the class alone.", aran.GetProperty("basis").GetString());

        JsonElement wraps = await PostAsync(room, Estimates, new { grams = 100, wraps = new { count = 10, inches = 1 } });
        Assert.Equal((132.0, 220.0), (At(wraps, "yards", "low"), At(wraps, "yards", "high")));
        Assert.Equal("medium", wraps.GetProperty("weightClass").GetProperty("key").GetString());
        Assert.InRange(wraps.GetProperty("weightClass").GetProperty("probability").GetDouble(), 0.95, 1);

        JsonElement sample = await PostAsync(room, Estimates, new { grams = 200, scaleDivisionGrams = 1, sample = new { metres = 36.6, grams = 20, divisionGrams = 1 } });
        Assert.Equal(366, At(sample, "metres", "likely"), 0.05);
        Assert.True(At(sample, "metres", "low") < 366 && At(sample, "metres", "high") > 366);

        JsonElement count = await PostAsync(room, Estimates, new { grams = 100, count = "Nm 2/28" });
        Assert.Equal(1400, At(count, "metresPer100g", "likely"), 0.1);

        JsonElement gauge = await PostAsync(room, Estimates, new { grams = 100, gauge = new { stitches = 22, perCm = 10 } });
        Assert.Equal("dk", gauge.GetProperty("weightClass").GetProperty("key").GetString());
    }

    [Fact]
    public async Task Estimate_WhenTheBandIsTyped_FillsTheFieldsAndTellsWhatIsLeft()
    {
        ApiRoom room = shared.Room;

        JsonElement band = await PostAsync(room, Estimates, new { grams = 100, bandText = "80% WO 20% PA, LL 420 m/100 g, 2,5 mm, sparkle finish" });

        Assert.Equal(420, At(band, "metresPer100g", "likely"), 0.1);
        Assert.Equal("fingering", band.GetProperty("weightClass").GetProperty("key").GetString());
        Assert.Contains("sparkle", string.Join(" ", Texts(band.GetProperty("bandText").GetProperty("notUnderstood"))), StringComparison.Ordinal);

        JsonElement asks = await PostAsync(room, Estimates, new { grams = 100, bandText = "4 ply 50 g 200 m" });
        Assert.NotEmpty(Texts(asks.GetProperty("bandText").GetProperty("questions")));
    }

    [Fact]
    public async Task Estimate_WhenEvidenceDisagrees_ShowsItAndKeepsTheTrusted()
    {
        ApiRoom room = shared.Room;

        JsonElement answer = await PostAsync(room, Estimates, new { grams = 50, band = new { metres = 125, grams = 50 }, wraps = new { count = 30, inches = 1 } });

        Assert.Equal(125, At(answer, "metres", "likely"), 0.1);
        Assert.Contains("30 wraps per inch say lace", Assert.Single(Texts(answer.GetProperty("conflicts"))), StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task Estimate_WhenAScaleIsAtHand_SaysWhatToMeasureNext()
    {
        ApiRoom room = shared.Room;

        JsonElement next = (await PostAsync(room, Estimates, new { grams = 400, scaleDivisionGrams = 1, weightClass = "dk" })).GetProperty("next")[0];

        Assert.Equal("sample", next.GetProperty("step").GetString());
        Assert.True(next.GetProperty("becomesMetres").GetDouble() < next.GetProperty("plusMinusMetres").GetDouble());
        Assert.StartsWith("Weigh", next.GetProperty("sentence").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Total_WhenLotsShareAClass_IsMoreThanTheirLowsAndLessThanSureSums()
    {
        ApiRoom room = shared.Room;
        object[] lots = [.. Enumerable.Repeat(new { grams = 150, weightClass = "aran" }, 10)];

        JsonElement total = await PostAsync(room, Estimates + "/total", new { lots });

        Assert.Equal(1500, total.GetProperty("grams").GetDouble());
        Assert.InRange(At(total, "yards", "low"), 2550 * 1.01, At(total, "yards", "likely") * 0.99);
        using HttpResponseMessage none = await SendAsync(room, Estimates + "/total", new { lots = Array.Empty<object>() });
        Assert.Equal(HttpStatusCode.UnprocessableEntity, none.StatusCode);
        using HttpResponseMessage wrong = await SendAsync(room, Estimates + "/total", new { lots = new object[] { new { grams = 150, weightClass = "aran" }, new { grams = 0, weightClass = "aran" } } });
        Assert.Contains("lots[1].grams", await wrong.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Total_WhenMoreIsShared_IsLessSure()
    {
        ApiRoom room = shared.Room;
        object[] lots = [.. Enumerable.Repeat(new { grams = 150, weightClass = "aran" }, 10)];
        async Task<double> LowAsync(object body) => At(await PostAsync(room, Estimates + "/total", body), "yards", "low");

        double usual = await LowAsync(new { lots });

        Assert.Equal(usual, await LowAsync(new { lots, sharedPart = 0.5, scaleErrorPercent = 0 }));
        Assert.True(await LowAsync(new { lots, sharedPart = 0 }) > usual * 1.01);
        Assert.Equal(2550, await LowAsync(new { lots, sharedPart = 1 }), 2550 * 0.01);
        Assert.True(await LowAsync(new { lots, scaleErrorPercent = 5 }) < usual * 0.98);
        using HttpResponseMessage wrong = await SendAsync(room, Estimates + "/total", new { lots, sharedPart = 2 });
        Assert.Contains("0 to 1 is allowed", await wrong.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
    }

    // 8/2 cotton is 740.75 yd, Nm 8/2 is 400 m to 100 g (computed, docs/sources.md).
    [Fact]
    public async Task Estimate_WhenTheCountSystemIsAnswered_TheBandsCountCounts()
    {
        ApiRoom room = shared.Room;

        JsonElement cotton = await PostAsync(room, Estimates, new { grams = 100, bandText = "8/2", countSystem = "Ne" });
        JsonElement metric = await PostAsync(room, Estimates, new { grams = 100, bandText = "8/2", countSystem = "Nm" });
        JsonElement silk = await PostAsync(room, Estimates, new { grams = 100, bandText = "40/2", countSystem = "Ne", countNotation = "resultant" });
        using HttpResponseMessage unknown = await SendAsync(room, Estimates, new { grams = 100, bandText = "8/2", countSystem = "Xy" });

        Assert.Equal(740.75, At(cotton, "yards", "likely"), 0.1);
        Assert.Equal(400, At(metric, "metres", "likely"), 0.1);
        Assert.Equal(7407.5, At(silk, "yards", "likely"), 1);
        Assert.Empty(Texts(cotton.GetProperty("bandText").GetProperty("questions")));
        Assert.Equal(HttpStatusCode.UnprocessableEntity, unknown.StatusCode);
        Assert.Contains("countSystem", await unknown.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Estimate_WhenASamplesLengthIsLessSure_IsWider()
    {
        ApiRoom room = shared.Room;

        JsonElement usual = await PostAsync(room, Estimates, new { grams = 100, sample = new { metres = 20, grams = 10 } });
        JsonElement unsure = await PostAsync(room, Estimates, new { grams = 100, sample = new { metres = 20, grams = 10, errorMetres = 2 } });

        Assert.True(At(unsure, "metres", "low") < At(usual, "metres", "low") - 10);
        Assert.Equal(At(usual, "metres", "likely"), At(unsure, "metres", "likely"));
    }

    // Spun silk 40/2 is the resultant already (docs/sources.md, Count systems).
    [Theory]
    [InlineData("", 20)]
    [InlineData("&notation=singles", 20)]
    [InlineData("&notation=resultant", 40)]
    public async Task Convert_WhenANotationIsChosen_ReadsTheCountByIt(string notation, double resultant)
    {
        ApiRoom room = shared.Room;

        JsonElement answer = await ApiRoom.GetAsync(room.Member, $"/api/v1/convert?from=Ne&value=40%2F2&to=Ne{notation}");

        Assert.Equal(resultant, answer.GetProperty("value").GetDouble(), 1e-9);
    }

    [Theory]
    [InlineData("from=Ne&value=0%2F2&to=Nm", "value")]
    [InlineData("from=Ne&to=Nm", "value")]
    [InlineData("from=Xy&value=8&to=Nm", "from")]
    [InlineData("from=Ne&value=8&to=Xy", "to")]
    [InlineData("from=Ne&value=8&to=Nm&notation=both", "notation")]
    public async Task InvalidConversion_IsRefusedAtItsField(string query, string field)
    {
        ApiRoom room = shared.Room;

        using HttpResponseMessage answer = await room.Member.GetAsync("/api/v1/convert?" + query, Cancellation);

        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        using JsonDocument problem = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Cancellation));
        Assert.Equal(field, Assert.Single(problem.RootElement.GetProperty("errors").EnumerateObject()).Name);
    }

    // Computed: cotton is denser than the table's wool by ln(1.52/1.31), half of which is taken off: 233.7 yd to 100 g become 216.9.
    [Fact]
    public async Task Estimate_WhenFibresAreStated_TheirDensityCountsBesideTheClass()
    {
        ApiRoom room = shared.Room;

        JsonElement cotton = await PostAsync(room, Estimates, new { grams = 100, weightClass = "dk", fibres = new object[] { new { code = "CO", percent = 100 } } });
        JsonElement typed = await PostAsync(room, Estimates, new { grams = 100, weightClass = "dk", bandText = "100% cotton" });
        JsonElement wool = await PostAsync(room, Estimates, new { grams = 150, weightClass = "aran", fibres = new object[] { new { code = "WO", percent = 100 } } });

        Assert.Equal(216.9, At(cotton, "yards", "likely"), 0.06);
        Assert.Equal(At(cotton, "yards", "low"), At(typed, "yards", "low"));
        Assert.Contains("denser than wool", cotton.GetProperty("basis").GetString(), StringComparison.Ordinal);
        Assert.Equal((255.0, 300.0), (At(wool, "yards", "low"), At(wool, "yards", "high")));
    }

    // Computed: 230 yd to 100 g held double is 115.
    [Fact]
    public async Task Estimate_WhenStrandsAreHeldTogether_EachTakesItsShare()
    {
        ApiRoom room = shared.Room;

        JsonElement both = await PostAsync(room, Estimates, new { grams = 100, band = new { metres = 210.312, grams = 100 }, strands = 2 });

        Assert.Equal(115, At(both, "yards", "likely"), 0.06);
        Assert.Equal(105.2, At(both, "metresPer100g", "likely"), 0.06);
    }

    // Sources of the values: docs/sources.md, Count systems.
    [Theory]
    [InlineData("Ne", "8/2", "yd/lb", 3360)]
    [InlineData("Nm", "2/28", "m/100g", 1400)]
    [InlineData("Ne", "20", "worsted", 30)]
    [InlineData("Ne", "20", "lea", 56)]
    [InlineData("tex", "30", "Nm", 33.3333)]
    [InlineData("Ne", "30", "denier", 177.162)]
    public async Task Convert_WhenSystemsAreKnown_AnswersTheResultant(string from, string value, string to, double expected)
    {
        ApiRoom room = shared.Room;

        JsonElement answer = await ApiRoom.GetAsync(room.Member, $"/api/v1/convert?from={Uri.EscapeDataString(from)}&value={Uri.EscapeDataString(value)}&to={Uri.EscapeDataString(to)}");

        Assert.Equal(expected, answer.GetProperty("value").GetDouble(), expected * 1e-5);
    }

    // Each refusal names the field and tells what is allowed.
    [Theory]
    [InlineData("""{"grams":0,"weightClass":"aran"}""", "grams", "more than 0 and at most 25,000 g is allowed")]
    [InlineData("""{"weightClass":"aran"}""", "grams", "grams")]
    [InlineData("""{"grams":100,"wraps":{"count":300,"inches":1}}""", "wraps", "1 to 200 is allowed")]
    [InlineData("""{"grams":100,"wraps":{"count":0,"inches":1}}""", "wraps", "1 to 200 is allowed")]
    [InlineData("""{"grams":100,"sample":{"metres":10,"grams":0}}""", "sample.grams", "more than 0 and at most 5,000 g is allowed")]
    [InlineData("""{"grams":100,"sample":{"metres":-1,"grams":5}}""", "sample.metres", "0.1 to 2,000 m is allowed")]
    [InlineData("""{"grams":100,"sample":{"metres":10}}""", "sample", "length and its grams")]
    [InlineData("""{"grams":100,"count":"Nm 0/2"}""", "count", "1 to 12, and the count more than 0")]
    [InlineData("""{"grams":100,"count":"Xy 2/28"}""", "count", "Ne, worsted, lea, run, cut, Nm, tex, dtex or denier")]
    [InlineData("""{"grams":100,"gauge":{"stitches":900}}""", "gauge", "is allowed")]
    [InlineData("""{"grams":100,"weightClass":"dk","fibres":[{"code":"WO","percent":57},{"code":"PA","percent":40}]}""", "fibres", "come to 97, not 100")]
    [InlineData("""{"grams":100,"weightClass":"dk","strands":0}""", "strands", "1 to 12 are allowed")]
    [InlineData("""{"grams":100}""", "wraps", "Give its wraps, a weight class")]
    public async Task InvalidEstimate_IsRefusedAtItsFieldWithWhatIsAllowed(string body, string field, string allowed)
    {
        ApiRoom room = shared.Room;
        using StringContent content = new(body, System.Text.Encoding.UTF8, "application/json");

        using HttpResponseMessage answer = await room.Member.PostAsync(Estimates, content, Cancellation);

        await AssertRefusedAsync(answer, field, allowed);
    }

    [Theory]
    [InlineData("Ne", "0/2", "Nm", "value", "1 to 12, and the count more than 0")]
    [InlineData("Ne", "0", "Nm", "value", "is allowed")]
    [InlineData("Ne", "-8", "Nm", "value", "Write a number more than 0")]
    [InlineData("Ne", "", "Nm", "value", "Write a number more than 0")]
    [InlineData("Ne", null, "Nm", "value", "Write a number more than 0")]
    [InlineData("m/100g", "2/1400", "Nm", "value", "give one number")]
    [InlineData("xy", "8/2", "Nm", "from", "Known are Ne, worsted, lea, run, cut, Nm, tex, dtex, denier, m/100g, yd/100g, yd/lb")]
    [InlineData("Ne", "8/2", "xy", "to", "Known are Ne, worsted")]
    [InlineData(null, "8/2", "Nm", "from", "Known are Ne, worsted")]
    public async Task InvalidConversion_IsRefusedAtItsFieldWithWhatIsAllowed(string? from, string? value, string? to, string field, string allowed)
    {
        ApiRoom room = shared.Room;
        string query = string.Join('&', new[] { ("from", from), ("value", value), ("to", to) }.Where(each => each.Item2 is not null).Select(each => $"{each.Item1}={Uri.EscapeDataString(each.Item2!)}"));

        using HttpResponseMessage answer = await room.Member.GetAsync($"/api/v1/convert?{query}", Cancellation);

        await AssertRefusedAsync(answer, field, allowed);
    }

    private static async Task AssertRefusedAsync(HttpResponseMessage answer, string field, string allowed)
    {
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.UnprocessableEntity, text);
        using JsonDocument problem = JsonDocument.Parse(text);
        Assert.Contains(
            problem.RootElement.GetProperty("errors").EnumerateObject(),
            error => error.Name.StartsWith(field, StringComparison.Ordinal) && error.Value.ToString().Contains(allowed, StringComparison.Ordinal));
    }
}
