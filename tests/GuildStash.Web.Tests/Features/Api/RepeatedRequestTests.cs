using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Data;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Api;

/// <summary>What a network does to requests: it repeats them, and lets many come at once.</summary>
public sealed class RepeatedRequestTests(PostgresFixture postgres)
{
    private const string Donations = "/api/v1/donations";
    private const string Holds = "/api/v1/holds";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Posts_WhenRepeatedWithTheirKey_AreDoneOnceAndAnsweredAlike()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        JsonElement gift = await TwiceAsync(room.Volunteer, Donations, """{"kind":"donation","grossGrams":500,"donor":{"name":"Dora"}}""");
        JsonElement lot = await TwiceAsync(room.Volunteer, $"{Donations}/{gift.GetProperty("id").GetString()}/lots",
            """{"grams":123.456,"scaleDivisionGrams":0.1,"wraps":{"count":27.5,"inches":2,"repeats":[27,28]},"fibres":[{"code":"WO","percent":62.5},{"code":"PA","percent":37.5}],"colourHex":"#4F6D8F"}""");
        string code = lot.GetProperty("code").GetString()!;
        JsonElement hold = await TwiceAsync(room.Member, Holds, $$"""{"lotCode":"{{code}}","metres":77.7}""");
        JsonElement taken = await TwiceAsync(room.Volunteer, "/api/v1/checkouts", $$"""{"holdId":"{{hold.GetProperty("id").GetString()}}","grams":40.25}""");
        await TwiceAsync(room.Volunteer, $"/api/v1/checkouts/{taken.GetProperty("id").GetString()}/returns", """{"grams":10,"conditions":[]}""");

        await using var db = room.Guild.Look();
        Assert.Equal((1, 1, 1, 1, 1, 1),
            (await db.Donations.CountAsync(Cancellation), await db.Donors.CountAsync(Cancellation), await db.Lots.CountAsync(Cancellation),
                await db.Holds.CountAsync(Cancellation), await db.Checkouts.CountAsync(Cancellation), await db.LotReturns.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Key_WhenUsedWithAnotherBody_IsRefused()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage first = await ApiRoom.SendAsync(room.Volunteer, Donations, """{"kind":"donation","grossGrams":500}""", "one");
        Assert.Equal(HttpStatusCode.Created, first.StatusCode);
        using HttpResponseMessage other = await ApiRoom.SendAsync(room.Volunteer, Donations, """{"kind":"donation","grossGrams":501}""", "one");
        JsonElement problem = await ApiRoom.ProblemAsync(other, HttpStatusCode.UnprocessableEntity);
        Assert.Equal("key-used-for-another-request", problem.GetProperty("rule").GetString());
        using HttpResponseMessage another = await ApiRoom.SendAsync(room.Coordinator, Donations, """{"kind":"donation","grossGrams":501}""", "one");
        Assert.Equal(HttpStatusCode.Created, another.StatusCode);
    }

    [Fact]
    public async Task Key_WhenUsedOnAnotherGift_IsAnotherKey()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        foreach (Guid gift in new[] { await room.GiveAsync(), await room.GiveAsync() })
        {
            using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Volunteer, $"{Donations}/{gift}/lots", """{"grams":5}""", "same");
            Assert.Equal(HttpStatusCode.Created, answer.StatusCode);
            Assert.False(answer.Headers.Contains("Idempotency-Replayed"));
        }
    }

    [Fact]
    public async Task Key_WhenTheFirstRequestWasRefused_MayBeUsedAgain()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage refused = await ApiRoom.SendAsync(room.Volunteer, Donations, """{"kind":"donation","grossGrams":0}""", "one");
        await ApiRoom.ProblemAsync(refused, HttpStatusCode.UnprocessableEntity);
        using HttpResponseMessage corrected = await ApiRoom.SendAsync(room.Volunteer, Donations, """{"kind":"donation","grossGrams":500}""", "one");
        Assert.Equal(HttpStatusCode.Created, corrected.StatusCode);
    }

    [Fact]
    public async Task Key_WhenADayHasPassed_IsForgotten()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        const string Gift = """{"kind":"donation","grossGrams":500}""";
        foreach (string key in new[] { "old", "older", "fresh" })
        {
            using HttpResponseMessage first = await ApiRoom.SendAsync(room.Volunteer, Donations, Gift, key);
            Assert.Equal(HttpStatusCode.Created, first.StatusCode);
        }

        await using var db = room.Guild.Look();
        await db.IdempotentResponses.Where(r => r.Key != "fresh").ExecuteUpdateAsync(r => r.SetProperty(x => x.CreatedAt, DateTimeOffset.UtcNow.AddHours(-25)), Cancellation);
        using HttpResponseMessage again = await ApiRoom.SendAsync(room.Volunteer, Donations, Gift, "old");
        Assert.False(again.Headers.Contains("Idempotency-Replayed"));
        Assert.Equal(4, await db.Donations.CountAsync(Cancellation));

        Assert.Equal(1, await room.Guild.UseAsync<IDbContextFactory<GuildDbContext>, int>(contexts => OldAnswersJob.TidyAsync(contexts, Cancellation)));
        Assert.Equal(["fresh", "old"], await db.IdempotentResponses.Select(r => r.Key).Order().ToListAsync(Cancellation));
    }

    [Fact]
    public async Task Marks_WhenAnHourHasPassed_AreForgotten()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await room.GiveAsync();
        await using var db = room.Guild.Look();
        await db.WriteMarks.ExecuteUpdateAsync(m => m.SetProperty(x => x.CreatedAt, DateTimeOffset.UtcNow.AddMinutes(-61)), Cancellation);
        await room.GiveAsync();
        await room.Guild.UseAsync<IDbContextFactory<GuildDbContext>, int>(contexts => OldAnswersJob.TidyAsync(contexts, Cancellation));
        Assert.True(Assert.Single(await db.WriteMarks.ToListAsync(Cancellation)).CreatedAt > DateTimeOffset.UtcNow.AddMinutes(-5));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(201)]
    public async Task InvalidKeyLength_WhenSent_IsRefused(int length)
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Volunteer, Donations, """{"kind":"donation","grossGrams":500}""", new string('k', length));
        JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.NotEmpty(problem.GetProperty("errors").GetProperty("Idempotency-Key").EnumerateArray());
    }

    [Fact]
    public async Task SameKeys_WhenSentAtOnce_MakeOneWriteAndOneAnswer()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string code = await room.SortAsync(await room.GiveAsync(), new { grams = 100, weightClass = "dk" });
        string all = $$"""{"lotCode":"{{code}}","grams":100}""";
        HttpResponseMessage[] answers = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => ApiRoom.SendAsync(room.Member, Holds, all, "same")));
        string[] bodies = await Task.WhenAll(answers.Select(answer => answer.Content.ReadAsStringAsync(Cancellation)));
        Assert.All(answers, answer => Assert.Equal(HttpStatusCode.Created, answer.StatusCode));
        Assert.Single(bodies.Distinct());
        Assert.Equal(7, answers.Count(answer => answer.Headers.Contains("Idempotency-Replayed")));
        await using var db = room.Guild.Look();
        Assert.Equal(1, await db.Holds.CountAsync(Cancellation));
    }

    [Fact]
    public async Task Holds_WhenTwentyComeAtOnce_NeverPromiseMoreThanThereIs()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string code = await room.SortAsync(await room.GiveAsync(), new { grams = 100, weightClass = "dk" });
        HttpResponseMessage[] answers = await Task.WhenAll(Enumerable.Range(0, 20)
            .Select(i => (i % 2 == 0 ? room.Member : room.OtherMember).PostAsJsonAsync(Holds, new { lotCode = code, grams = 15 }, Cancellation)));
        Assert.Equal(6, answers.Count(answer => answer.StatusCode == HttpStatusCode.Created));
        foreach (HttpResponseMessage late in answers.Where(answer => answer.StatusCode != HttpStatusCode.Created))
        {
            Assert.Equal("not-enough-free", (await ApiRoom.ProblemAsync(late, HttpStatusCode.Conflict)).GetProperty("rule").GetString());
        }

        Assert.Equal(10m, (await ApiRoom.GetAsync(room.Member, $"/api/v1/lots/{code}")).GetProperty("freeGrams").GetDecimal());
    }

    private static async Task<JsonElement> TwiceAsync(HttpClient client, string path, string json)
    {
        string key = Guid.NewGuid().ToString();
        using HttpResponseMessage first = await ApiRoom.SendAsync(client, path, json, key);
        string answer = await first.Content.ReadAsStringAsync(Cancellation);
        Assert.True(first.StatusCode == HttpStatusCode.Created, answer);
        Assert.False(first.Headers.Contains("Idempotency-Replayed"));
        using HttpResponseMessage second = await ApiRoom.SendAsync(client, path, json, key);
        Assert.Equal(HttpStatusCode.Created, second.StatusCode);
        Assert.Equal(answer, await second.Content.ReadAsStringAsync(Cancellation));
        Assert.True(second.Headers.Contains("Idempotency-Replayed"));
        return JsonElement.Parse(answer);
    }
}
