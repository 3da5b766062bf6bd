using System.Net;
using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Api;

/// <summary>Who gets in with what, and until when.</summary>
public sealed class WhoMayTests(PostgresFixture postgres)
{
    private const string Lots = "/api/v1/lots";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Tokens_WhenMissingWrongExpiredOrRevoked_OpenNothing()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await UnauthorisedAsync(room.Nobody, "Authorization: Bearer");
        await UnauthorisedAsync(room.Client("gs_nothing"), "not known");
        await UnauthorisedAsync(room.Client("password"), "begin with");
        await UnauthorisedAsync(room.Client(new string('g', 5000)), "begin with");

        string expired = await room.TokenOfAsync(room.Guild.Member);
        string revoked = await room.TokenOfAsync(room.Guild.Member);
        await using (var db = room.Guild.Look())
        {
            byte[] hash = Web.Infrastructure.Security.BearerTokens.HashOf(expired);
            await db.ApiTokens.Where(t => t.SecretHash == hash).ExecuteUpdateAsync(t => t.SetProperty(x => x.ExpiresAt, DateTimeOffset.UtcNow.AddSeconds(-1)), Cancellation);
        }

        TokenView last = (await room.Guild.DoAsync<TokenReader, PageOf<TokenView>>(u => u.MineAsync(room.Guild.Member, new PageRequest(1), Cancellation))).Items[0];
        Outcome<bool> notYours = await room.Guild.UseAsync<RevokeToken, Outcome<bool>>(u => u.RunAsync(room.Guild.Coordinator, last.Id, Cancellation));
        Assert.Equal("not-found", notYours.Refusal.Rule);
        using HttpResponseMessage before = await room.Client(revoked).GetAsync(Lots, Cancellation);
        Assert.Equal(HttpStatusCode.OK, before.StatusCode);
        await room.Guild.DoAsync<RevokeToken, bool>(u => u.RunAsync(room.Guild.Member, last.Id, Cancellation));
        await UnauthorisedAsync(room.Client(expired), "expired");
        await UnauthorisedAsync(room.Client(revoked), "revoked");
    }

    [Fact]
    public async Task Account_WhenDisabledMidWay_StopsAtItsNextAct()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string code = await room.SortAsync(await room.GiveAsync(), new { grams = 100, weightClass = "dk" });
        await ApiRoom.PostAsync(room.Member, "/api/v1/holds", new { lotCode = code, grams = 10 });
        await using (var db = room.Guild.Look())
        {
            await db.People.Where(p => p.Id == room.Guild.Member).ExecuteUpdateAsync(p => p.SetProperty(x => x.DisabledAt, DateTimeOffset.UtcNow), Cancellation);
        }

        using HttpResponseMessage answer = await room.Member.PostAsJsonAsync("/api/v1/holds", new { lotCode = code, grams = 10 }, Cancellation);
        JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.Unauthorized);
        Assert.Contains("not active", problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
        Assert.Equal(90m, (await ApiRoom.GetAsync(room.Volunteer, $"{Lots}/{code}")).GetProperty("freeGrams").GetDecimal());
    }

    [Fact]
    public async Task Role_WhenTakenAwayMidWay_CountsAtTheNextAct()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync();
        await using (var db = room.Guild.Look())
        {
            await db.People.Where(p => p.Id == room.Guild.Volunteer).ExecuteUpdateAsync(p => p.SetProperty(x => x.Role, Domain.People.Role.Member), Cancellation);
        }

        using HttpResponseMessage answer = await room.Volunteer.PostAsJsonAsync($"/api/v1/donations/{gift}/lots", new { grams = 5 }, Cancellation);
        Assert.Equal("not-allowed", (await ApiRoom.ProblemAsync(answer, HttpStatusCode.Forbidden)).GetProperty("rule").GetString());
    }

    [Fact]
    public async Task Members_WhenTheyDoVolunteersWork_AreRefused()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        Guid gift = await room.GiveAsync();
        string code = await room.SortAsync(gift, new { grams = 100, weightClass = "dk" });
        JsonElement hold = await ApiRoom.PostAsync(room.OtherMember, "/api/v1/holds", new { lotCode = code, grams = 10 });
        JsonElement taken = await ApiRoom.PostAsync(room.Volunteer, "/api/v1/checkouts", new { lotCode = code, memberEmail = "other@example.org", grams = 10 });
        (string Path, object Body)[] posts =
        [
            ("/api/v1/donations", new { kind = "donation", grossGrams = 5 }),
            ($"/api/v1/donations/{gift}/lots", new { grams = 5 }),
            ("/api/v1/checkouts", new { holdId = hold.GetProperty("id").GetString(), grams = 10 }),
            ("/api/v1/checkouts", new { lotCode = code, memberEmail = "member@example.org", grams = 10 }),
            ($"/api/v1/checkouts/{taken.GetProperty("id").GetString()}/returns", new { grams = 5 }),
        ];
        foreach ((string path, object body) in posts)
        {
            using HttpResponseMessage answer = await room.Member.PostAsJsonAsync(path, body, Cancellation);
            await ApiRoom.ProblemAsync(answer, HttpStatusCode.Forbidden);
        }
    }

    [Fact]
    public async Task Cookie_WhenSentToTheApi_OpensNothingThere()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient browser = await room.BrowserOfAsync(room.Guild.Coordinator);
        using HttpResponseMessage print = await browser.GetAsync("/print/test-page.pdf", Cancellation);
        Assert.Equal(HttpStatusCode.OK, print.StatusCode);
        await UnauthorisedAsync(browser, "Authorization: Bearer");
        using HttpResponseMessage write = await browser.PostAsJsonAsync("/api/v1/donations", new { kind = "donation", grossGrams = 5 }, Cancellation);
        await ApiRoom.ProblemAsync(write, HttpStatusCode.Unauthorized);
    }

    [Fact]
    public async Task Token_WhenSentToAPage_OpensNothingThere()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage answer = await room.Coordinator.GetAsync("/print/test-page.pdf", Cancellation);
        Assert.Equal(HttpStatusCode.Redirect, answer.StatusCode);
        Assert.Contains("/account/sign-in", answer.Headers.Location!.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Tokens_WhenIssued_AreKeptAsHashesOnlyAndActAsTheirPerson()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        IssuedToken token = await room.Guild.DoAsync<IssueToken, IssuedToken>(u => u.RunAsync(room.Guild.Volunteer, " scale at the table ", 730, TokenScope.Write, Cancellation));
        Assert.Matches("^gs_[A-Za-z0-9_-]{43}$", token.Token);
        Assert.Equal("scale at the table", token.Name);
        await using var db = room.Guild.Look();
        ApiToken kept = await db.ApiTokens.SingleAsync(t => t.Id == token.Id, Cancellation);
        Assert.Equal(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.ASCII.GetBytes(token.Token)), kept.SecretHash);
        Assert.Equal(730, (kept.ExpiresAt - kept.CreatedAt).TotalDays, 0.001);

        await ApiRoom.PostAsync(room.Client(token.Token), "/api/v1/donations", new { kind = "donation", grossGrams = 5 });
        Assert.Equal(room.Guild.Volunteer, await db.Donations.Select(d => d.CreatedById).SingleAsync(Cancellation));
    }

    [Theory]
    [InlineData("", 365, "name")]
    [InlineData("x", 0, "days")]
    [InlineData("x", 731, "days")]
    public async Task InvalidTokens_WhenAskedFor_AreRefused(string name, int days, string field)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Outcome<IssuedToken> refused = await room.UseAsync<IssueToken, Outcome<IssuedToken>>(u => u.RunAsync(room.Member, name, days, TokenScope.Write, Cancellation));
        Assert.Equal(field, refused.Refusal.Field);
    }

    [Fact]
    public async Task AdminCommandsToken_WhenIssuedByAddress_OpensTheApi()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await using var db = room.Guild.Look();
        Outcome<string> token = await TokenIssuer.IssueAsync(db, " Member@Example.org ", "backup", TokenScope.Write, Cancellation);
        using HttpResponseMessage answer = await room.Client(token.Value).GetAsync(Lots, Cancellation);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal("email", (await TokenIssuer.IssueAsync(db, "nobody@example.org", "backup", TokenScope.Write, Cancellation)).Refusal.Field);
        Assert.Equal("name", (await TokenIssuer.IssueAsync(db, "member@example.org", " ", TokenScope.Write, Cancellation)).Refusal.Field);
    }

    [Fact]
    public async Task Description_WhenRead_NamesEveryPathAndItsToken()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage closed = await room.Nobody.GetAsync("/openapi/v1.json", Cancellation);
        await ApiRoom.ProblemAsync(closed, HttpStatusCode.Unauthorized);
        Assert.Equal("Bearer", Assert.Single(closed.Headers.WwwAuthenticate).Scheme);
        using HttpResponseMessage wrong = await room.Client("gs_nothing").GetAsync("/openapi/v1.json", Cancellation);
        await ApiRoom.ProblemAsync(wrong, HttpStatusCode.Unauthorized);
        HttpClient browser = await room.BrowserOfAsync(room.Guild.Member);
        Assert.Equal("GuildStash", (await ApiRoom.GetAsync(browser, "/openapi/v1.json")).GetProperty("info").GetProperty("title").GetString());

        JsonElement description = await ApiRoom.GetAsync(room.Member, "/openapi/v1.json");
        string[] paths = [.. description.GetProperty("paths").EnumerateObject().SelectMany(p => p.Value.EnumerateObject().Select(m => $"{m.Name} {p.Name}")).Order()];
        Assert.Equal(
            [
                "get /api/v1/bins/{code}/label.pdf", "get /api/v1/colours/describe", "get /api/v1/colours/difference", "get /api/v1/convert", "get /api/v1/donations/{id}/intake-sheet.pdf",
                "get /api/v1/inventory/summary", "get /api/v1/lots", "get /api/v1/lots/{code}", "get /api/v1/plans/{id}", "post /api/v1/checkouts", "post /api/v1/checkouts/{id}/returns",
                "post /api/v1/donations", "post /api/v1/donations/{id}/close", "post /api/v1/donations/{id}/lots", "post /api/v1/estimates", "post /api/v1/estimates/total", "post /api/v1/holds",
                "post /api/v1/lots/{code}/split", "post /api/v1/lots/merge", "post /api/v1/plans", "post /api/v1/plans/{id}/accept", "post /api/v1/plans/solve",
            ],
            paths);
        Assert.Equal("bearer", description.GetProperty("components").GetProperty("securitySchemes").GetProperty("bearer").GetProperty("scheme").GetString());
        Assert.True(description.GetProperty("security")[0].TryGetProperty("bearer", out _));
        JsonElement hold = description.GetProperty("components").GetProperty("schemas").GetProperty("HoldBody").GetProperty("properties");
        Assert.Contains("number", hold.GetProperty("grams").GetProperty("type").ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("string", hold.GetProperty("grams").GetProperty("type").ToString(), StringComparison.Ordinal);
        string[] filters = [.. description.GetProperty("paths").GetProperty("/api/v1/lots").GetProperty("get").GetProperty("parameters").EnumerateArray().Select(p => p.GetProperty("name").GetString()!)];
        Assert.Superset(new HashSet<string> { "weightClass", "colourFamily", "fibre", "washable", "bin", "minMetres", "status", "q", "nearHex", "within", "page", "pageSize" }, filters.ToHashSet());
        Assert.All(description.GetProperty("paths").EnumerateObject().SelectMany(p => p.Value.EnumerateObject()), operation =>
        {
            Assert.NotEqual("", operation.Value.GetProperty("summary").GetString());
            Assert.Equal(operation.Name == "post", operation.Value.TryGetProperty("requestBody", out _));
            bool makes = operation.Name == "post" && operation.Value.GetProperty("tags")[0].GetString() is not ("Measuring" or "Planning");

            // What only asks for a second person is answered with 202.
            string[] answers = [.. operation.Value.GetProperty("responses").EnumerateObject().Select(r => r.Name)];
            Assert.True(answers.Contains("202") || answers.Contains(makes ? "201" : "200"), $"{operation.Name} answers {string.Join(", ", answers)}");
        });
    }

    private static async Task UnauthorisedAsync(HttpClient client, string says)
    {
        using HttpResponseMessage answer = await client.GetAsync(Lots, Cancellation);
        JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.Unauthorized);
        Assert.Contains(says, problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
        AuthenticationHeaderValue challenge = Assert.Single(answer.Headers.WwwAuthenticate);
        Assert.Equal("Bearer", challenge.Scheme);
    }
}
