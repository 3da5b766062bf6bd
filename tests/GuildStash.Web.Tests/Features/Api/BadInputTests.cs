using System.Net;
using System.Text;
using System.Text.Json;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Api;

/// <summary>Whatever is sent is answered with a problem document that names the field, and leaves nothing half-saved.</summary>
public sealed class BadInputTests(PostgresFixture postgres)
{
    private const string Donations = "/api/v1/donations";
    private const string Holds = "/api/v1/holds";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task InvalidGifts_WhenPosted_AreRefusedByFieldAndNothingIsKept()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string long10K = new('x', 10_000);
        (string Json, HttpStatusCode Status, string Field)[] cases =
        [
            ("""{"kind":"donation","grossGrams":-5,"tareGrams":0}""", HttpStatusCode.UnprocessableEntity, "grossGrams"),
            ("""{"kind":"donation","grossGrams":0,"tareGrams":0}""", HttpStatusCode.UnprocessableEntity, "grossGrams"),
            ("""{"kind":"donation","grossGrams":100001}""", HttpStatusCode.UnprocessableEntity, "grossGrams"),
            ("""{"kind":"donation","grossGrams":1e20}""", HttpStatusCode.UnprocessableEntity, "grossGrams"),
            ("""{"kind":"donation","grossGrams":500,"tareGrams":500}""", HttpStatusCode.UnprocessableEntity, "tareGrams"),
            ("""{"kind":"donation","grossGrams":500,"tareGrams":-1}""", HttpStatusCode.UnprocessableEntity, "tareGrams"),
            ("""{"kind":"donation","tareGrams":5}""", HttpStatusCode.UnprocessableEntity, "grossGrams"),
            ("""{"kind":"donation"}""", HttpStatusCode.UnprocessableEntity, "grossGrams"),
            ("""{"grossGrams":500}""", HttpStatusCode.UnprocessableEntity, "kind"),
            ("""{"kind":"donation","grossGrams":500,"bags":[{"grossGrams":5}]}""", HttpStatusCode.UnprocessableEntity, "bags"),
            ("""{"kind":"donation","bags":[]}""", HttpStatusCode.UnprocessableEntity, "bags"),
            ("""{"kind":"donation","bags":[{"grossGrams":5},null]}""", HttpStatusCode.UnprocessableEntity, "bags[1].grossGrams"),
            ("""{"kind":"donation","bags":[{"grossGrams":5},{"grossGrams":-5}]}""", HttpStatusCode.UnprocessableEntity, "bags[1].grossGrams"),
            ("""{"kind":"donation","grossGrams":500,"receivedOn":"2099-01-01"}""", HttpStatusCode.UnprocessableEntity, "receivedOn"),
            ("""{"kind":"donation","grossGrams":500,"decision":"declinedAtTheDoor"}""", HttpStatusCode.UnprocessableEntity, "decisionReason"),
            ("""{"kind":"donation","grossGrams":500,"donor":{"contact":"x@example.org"}}""", HttpStatusCode.UnprocessableEntity, "donor.name"),
            ($$"""{"kind":"donation","grossGrams":500,"donor":{"name":"{{long10K}}"} }""", HttpStatusCode.UnprocessableEntity, "donor.name"),
            ($$"""{"kind":"donation","grossGrams":500,"wishes":"{{long10K}}"}""", HttpStatusCode.UnprocessableEntity, "wishes"),
            ($$"""{"kind":"donation","grossGrams":500,"notes":"{{long10K}}"}""", HttpStatusCode.UnprocessableEntity, "notes"),
            ("""{"kind":"donation","grossGrams":500,"notes":"a\u0007b"}""", HttpStatusCode.UnprocessableEntity, "notes"),
            ("""{"kind":"donation","grossGrams":500,"notes":"a\u0000b"}""", HttpStatusCode.BadRequest, "notes"),
            ("""{"kind":"donation","grossGrams":500,"notes":"\ud800"}""", HttpStatusCode.BadRequest, "notes"),
            ("""{"kind":"donation","grossGrams":500,"notes":7}""", HttpStatusCode.BadRequest, "notes"),
            ("""{"kind":"gift","grossGrams":500}""", HttpStatusCode.BadRequest, "kind"),
            ("""{"kind":1,"grossGrams":500}""", HttpStatusCode.BadRequest, "kind"),
            ("""{"kind":"donation","grossGrams":"500"}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":"12,5"}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":"NaN"}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":true}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":[1]}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":{"g":1}}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":1e400}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":NaN}""", HttpStatusCode.BadRequest, "grossGrams"),
            ("""{"kind":"donation","grossGrams":12,5}""", HttpStatusCode.BadRequest, ""),
            ("""{"kind":"donation","grossGrams":500,"GrossGrams":600}""", HttpStatusCode.BadRequest, "GrossGrams"),
            ("""{"kind":"donation","grossGrams":500,"conditions":["smoke","wet"]}""", HttpStatusCode.BadRequest, "conditions[1]"),
            ("""{"kind":"donation","grossGrams":500,"conditions":"smoke"}""", HttpStatusCode.BadRequest, "conditions"),
            ("""{"kind":"donation","grossGrams":500,"receivedOn":"03.04.2026"}""", HttpStatusCode.BadRequest, "receivedOn"),
            ("""{"kind":"donation","grossGrams":500,"donor":"Dora"}""", HttpStatusCode.BadRequest, "donor"),
            ("""{"kind":"donation","bags":[{"grossGrams":"5"}]}""", HttpStatusCode.BadRequest, "bags[0].grossGrams"),
            ("""[]""", HttpStatusCode.BadRequest, ""),
            ("""null""", HttpStatusCode.BadRequest, ""),
            ("""{"kind":""", HttpStatusCode.BadRequest, ""),
            ("", HttpStatusCode.BadRequest, ""),
        ];
        foreach ((string json, HttpStatusCode status, string field) in cases)
        {
            await RefusedAsync(room, Donations, json, status, field);
        }

        await using var db = room.Guild.Look();
        Assert.Equal(0, await db.Donations.CountAsync(Cancellation) + await db.Bags.CountAsync(Cancellation) + await db.Donors.CountAsync(Cancellation));
        Assert.Equal(0, await db.NumberCounters.CountAsync(c => c.Series == "donation", Cancellation));
    }

    [Fact]
    public async Task InvalidLots_WhenPosted_AreRefusedByField()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string path = $"{Donations}/{await room.GiveAsync(90_000)}/lots";
        (string Json, HttpStatusCode Status, string Field)[] cases =
        [
            ("""{"grams":40000}""", HttpStatusCode.UnprocessableEntity, "grams"),
            ("""{"grams":-1}""", HttpStatusCode.UnprocessableEntity, "grams"),
            ("""{"grams":0}""", HttpStatusCode.UnprocessableEntity, "grams"),
            ("""{"grams":0.0001}""", HttpStatusCode.UnprocessableEntity, "grams"),
            ("""{}""", HttpStatusCode.UnprocessableEntity, "grams"),
            ("""{"grams":5,"massUnknown":true}""", HttpStatusCode.UnprocessableEntity, "grams"),
            ("""{"grams":5,"bag":2}""", HttpStatusCode.UnprocessableEntity, "bag"),
            ("""{"grams":5,"bag":0}""", HttpStatusCode.UnprocessableEntity, "bag"),
            ("""{"grams":5,"count":-3}""", HttpStatusCode.UnprocessableEntity, "count"),
            ("""{"grams":5,"scaleDivisionGrams":0}""", HttpStatusCode.UnprocessableEntity, "scaleDivisionGrams"),
            ("""{"grams":-79228162514264337593543950335,"coreTareGrams":79228162514264337593543950335}""", HttpStatusCode.UnprocessableEntity, "coreTareGrams"),
            ("""{"grams":5,"wraps":{"count":-9,"inches":1}}""", HttpStatusCode.UnprocessableEntity, "wraps.count"),
            ("""{"grams":5,"wraps":{"inches":1}}""", HttpStatusCode.UnprocessableEntity, "wraps"),
            ("""{"grams":5,"wraps":{"count":79228162514264337593543950335,"inches":0.0000000000000000000000000001}}""", HttpStatusCode.UnprocessableEntity, "wraps.count"),
            ("""{"grams":5,"band":{"metres":200}}""", HttpStatusCode.UnprocessableEntity, "band"),
            ("""{"grams":5,"band":{"metres":79228162514264337593543950335,"grams":50}}""", HttpStatusCode.UnprocessableEntity, "band.metres"),
            ("""{"grams":5,"fibres":[{"code":"XX"}]}""", HttpStatusCode.UnprocessableEntity, "fibres"),
            ("""{"grams":5,"fibres":[null]}""", HttpStatusCode.UnprocessableEntity, "fibres"),
            ("""{"grams":5,"fibres":[{"code":"WO","percent":80}]}""", HttpStatusCode.UnprocessableEntity, "fibres"),
            ("""{"grams":5,"fibres":[{"code":"WO","percent":-79228162514264337593543950335}]}""", HttpStatusCode.UnprocessableEntity, "fibres"),
            ("""{"grams":5,"colourHex":"blue"}""", HttpStatusCode.UnprocessableEntity, "colourHex"),
            ("""{"grams":5,"binCode":"K7M-T"}""", HttpStatusCode.UnprocessableEntity, "binCode"),
            ("""{"grams":5,"weightClass":"chunky"}""", HttpStatusCode.BadRequest, "weightClass"),
            ("""{"grams":5,"colourFamily":"mauve"}""", HttpStatusCode.BadRequest, "colourFamily"),
            ("""{"grams":5,"texture":"rough"}""", HttpStatusCode.BadRequest, "texture"),
            ("""{"grams":5,"putUp":"bobbin"}""", HttpStatusCode.BadRequest, "putUp"),
            ("""{"grams":5,"machineWashable":"perhaps"}""", HttpStatusCode.BadRequest, "machineWashable"),
            ("""{"grams":5,"wraps":9}""", HttpStatusCode.BadRequest, "wraps"),
            ("""{"grams":5,"wraps":{"count":"9"}}""", HttpStatusCode.BadRequest, "wraps.count"),
            ("""{"grams":5,"wraps":{"count":9,"repeats":[9,"x"]}}""", HttpStatusCode.BadRequest, "wraps.repeats[1]"),
            ("""{"grams":5,"count":2.5}""", HttpStatusCode.BadRequest, "count"),
            ("""{"grams":5,"count":99999999999}""", HttpStatusCode.BadRequest, "count"),
        ];
        foreach ((string json, HttpStatusCode status, string field) in cases)
        {
            await RefusedAsync(room, path, json, status, field);
        }

        await RefusedAsync(room, $"{Donations}/{Guid.CreateVersion7()}/lots", """{"grams":5}""", HttpStatusCode.NotFound, null);
        await RefusedAsync(room, $"{Donations}/nonsense/lots", """{"grams":5}""", HttpStatusCode.NotFound, null);
        await using var db = room.Guild.Look();
        Assert.Equal(0, await db.Lots.CountAsync(Cancellation));
    }

    [Fact]
    public async Task InvalidHoldsAndCheckouts_WhenPosted_AreRefusedByFieldOrRule()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string code = await room.SortAsync(await room.GiveAsync(), new { grams = 100, weightClass = "dk" });
        string unweighed = await room.SortAsync(await room.GiveAsync(), new { massUnknown = true, weightClass = "dk" });
        string damp = await room.SortAsync(await room.GiveAsync(500, "damp"), new { grams = 100, weightClass = "dk" });

        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","grams":101}""", HttpStatusCode.Conflict, null, "not-enough-free");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","metres":5000}""", HttpStatusCode.Conflict, null, "not-enough-free");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{unweighed}}","grams":1}""", HttpStatusCode.Conflict, null, "mass-unknown");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{damp}}","grams":1}""", HttpStatusCode.Conflict, null, "lot-in-quarantine");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}"}""", HttpStatusCode.UnprocessableEntity, "grams");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","grams":5,"metres":5}""", HttpStatusCode.UnprocessableEntity, "grams");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","grams":-5}""", HttpStatusCode.UnprocessableEntity, "grams");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","metres":-5}""", HttpStatusCode.UnprocessableEntity, "metres");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","metres":1e308}""", HttpStatusCode.UnprocessableEntity, "metres");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","metres":1e999}""", HttpStatusCode.BadRequest, "metres");
        await RefusedAsync(room, Holds, """{"grams":5}""", HttpStatusCode.UnprocessableEntity, "lotCode");
        await RefusedAsync(room, Holds, """{"lotCode":"AAAA-AAA","grams":5}""", HttpStatusCode.UnprocessableEntity, "lotCode");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","grams":5,"projectId":"{{Guid.CreateVersion7()}}"}""", HttpStatusCode.UnprocessableEntity, "projectId");
        await RefusedAsync(room, Holds, $$"""{"lotCode":"{{code}}","grams":5,"projectId":"x"}""", HttpStatusCode.BadRequest, "projectId");

        const string Checkouts = "/api/v1/checkouts";
        await RefusedAsync(room, Checkouts, """{"grams":5}""", HttpStatusCode.UnprocessableEntity, "lotCode");
        await RefusedAsync(room, Checkouts, $$"""{"holdId":"{{Guid.CreateVersion7()}}","lotCode":"{{code}}","grams":5}""", HttpStatusCode.UnprocessableEntity, "holdId");
        await RefusedAsync(room, Checkouts, $$"""{"holdId":"{{Guid.CreateVersion7()}}","grams":5}""", HttpStatusCode.NotFound, null);
        await RefusedAsync(room, Checkouts, $$"""{"holdId":"{{Guid.CreateVersion7()}}"}""", HttpStatusCode.UnprocessableEntity, "grams");
        await RefusedAsync(room, Checkouts, $$"""{"lotCode":"{{code}}","grams":5}""", HttpStatusCode.UnprocessableEntity, "memberEmail");
        await RefusedAsync(room, Checkouts, $$"""{"lotCode":"{{code}}","memberEmail":"nobody@example.org","grams":5}""", HttpStatusCode.UnprocessableEntity, "memberEmail");
        await RefusedAsync(room, Checkouts, $$"""{"lotCode":"{{code}}","memberEmail":"a\u0000@example.org","grams":5}""", HttpStatusCode.BadRequest, "memberEmail");
        await RefusedAsync(room, Checkouts, $$"""{"lotCode":"{{code}}","memberEmail":"member@example.org","grams":150}""", HttpStatusCode.Conflict, null, "not-enough-free");
        await RefusedAsync(room, Checkouts, $$"""{"lotCode":"{{damp}}","memberEmail":"member@example.org","grams":1}""", HttpStatusCode.Conflict, null, "lot-in-quarantine");

        JsonElement taken = await ApiRoom.PostAsync(room.Volunteer, Checkouts, new { lotCode = code, memberEmail = "member@example.org", grams = 30 });
        string returns = $"{Checkouts}/{taken.GetProperty("id").GetString()}/returns";
        await RefusedAsync(room, returns, """{"grams":60}""", HttpStatusCode.Conflict, null, "more-than-taken");
        await RefusedAsync(room, returns, """{"grams":-1}""", HttpStatusCode.UnprocessableEntity, "grams");
        await RefusedAsync(room, returns, """{"conditions":[]}""", HttpStatusCode.UnprocessableEntity, "grams");
        await RefusedAsync(room, returns, """{"grams":1,"conditions":["soap"]}""", HttpStatusCode.BadRequest, "conditions[0]");
        await RefusedAsync(room, $"{Checkouts}/{Guid.CreateVersion7()}/returns", """{"grams":1}""", HttpStatusCode.NotFound, null);

        await using var db = room.Guild.Look();
        Assert.Equal(0, await db.Holds.CountAsync(Cancellation));
        Assert.Equal(1, await db.Checkouts.CountAsync(Cancellation));
    }

    [Fact]
    public async Task InvalidAddresses_WhenRead_AreRefusedByField()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        (string Path, int Status, string? Field)[] cases =
        [
            ("lots?pageSize=501", 422, "pageSize"),
            ("lots?pageSize=0", 422, "pageSize"),
            ("lots?page=0", 422, "page"),
            ("lots?page=-1", 422, "page"),
            ("lots?page=two", 400, "page"),
            ("lots?page=1.5", 400, "page"),
            ("lots?page=99999999999", 400, "page"),
            ("lots?minMetres=NaN", 400, "minMetres"),
            ("lots?minMetres=1,5", 400, "minMetres"),
            ("lots?minMetres=-1", 422, "minMetres"),
            ("lots?weightClass=chunky", 400, "weightClass"),
            ("lots?weightClass=3", 400, "weightClass"),
            ("lots?colourFamily=mauve", 400, "colourFamily"),
            ("lots?status=gone", 400, "status"),
            ("lots?washable=perhaps", 400, "washable"),
            ("lots?fibre=XX", 422, "fibre"),
            ("lots?fibre=%00", 422, "fibre"),
            ("lots?bin=K7M-T", 422, "bin"),
            ("lots?q=a%00b", 422, "q"),
            ("lots?nearHex=blue", 422, "nearHex"),
            ("lots?nearHex=112233&within=-1", 422, "within"),
            ("lots?nearHex=112233&within=101", 422, "within"),
            ("lots?nearHex=112233&within=Infinity", 400, "within"),
            ("lots?within=5", 422, "within"),
            ("lots/AAAA-AAA", 404, null),
            ("lots/..%2f..%2fetc", 404, null),
            ("colours/describe?hex=blue", 422, "hex"),
            ("colours/describe", 422, "hex"),
            ("colours/difference?a=112233", 422, "b"),
            ("colours/difference?a=lab:50,x,1&b=112233", 400, "a"),
            ("colours/difference?a=lab:NaN,0,0&b=112233", 400, "a"),
            ("colours/difference?a=lab:150,0,0&b=112233", 422, "a"),
            ("nothing-here", 404, null),
        ];
        foreach ((string path, int status, string? field) in cases)
        {
            using HttpResponseMessage answer = await room.Member.GetAsync("/api/v1/" + path, Cancellation);
            JsonElement problem = await ApiRoom.ProblemAsync(answer, (HttpStatusCode)status);
            if (field is not null)
            {
                Assert.True(problem.GetProperty("errors").TryGetProperty(field, out _), $"{path}: {problem}");
            }
        }
    }

    [Fact]
    public async Task Requests_WhenTheWayOfSendingIsWrong_GetProblemsAndNoPages()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage method = await room.Volunteer.DeleteAsync(Donations, Cancellation);
        await ApiRoom.ProblemAsync(method, HttpStatusCode.MethodNotAllowed);
        using StringContent form = new("kind=donation", Encoding.UTF8, "application/x-www-form-urlencoded");
        using HttpResponseMessage type = await room.Volunteer.PostAsync(Donations, form, Cancellation);
        await ApiRoom.ProblemAsync(type, HttpStatusCode.UnsupportedMediaType);
        using ByteArrayContent untyped = new("{}"u8.ToArray());
        using HttpResponseMessage noType = await room.Volunteer.PostAsync(Donations, untyped, Cancellation);
        await ApiRoom.ProblemAsync(noType, HttpStatusCode.UnsupportedMediaType);
        using HttpResponseMessage large = await ApiRoom.SendAsync(room.Volunteer, Donations, $$"""{"notes":"{{new string('x', 1024 * 1024)}}"}""");
        await ApiRoom.ProblemAsync(large, HttpStatusCode.RequestEntityTooLarge);
        using HttpResponseMessage deep = await ApiRoom.SendAsync(room.Volunteer, Donations, new string('[', 5000));
        await ApiRoom.ProblemAsync(deep, HttpStatusCode.BadRequest);
    }

    [Fact]
    public async Task DonorsName_WhenItIsAScript_StaysText()
    {
        const string Script = "<script>alert('wool')</script>";
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Volunteer, Donations, $$"""{"kind":"donation","grossGrams":500,"donor":{"name":"{{Script}}"} }""");
        Assert.Equal(HttpStatusCode.Created, answer.StatusCode);
        await using var db = room.Guild.Look();
        Assert.Equal(Script, await db.Donors.Select(d => d.Name).SingleAsync(Cancellation));

        using HttpResponseMessage echo = await ApiRoom.SendAsync(room.Volunteer, Donations, $$"""{"kind":"{{Script}}","grossGrams":500}""");
        await ApiRoom.ProblemAsync(echo, HttpStatusCode.BadRequest);
        Assert.Equal("nosniff", Assert.Single(echo.Headers.GetValues("X-Content-Type-Options")));
    }

    [Fact]
    public async Task UnexpectedFaults_WhenTheDatabaseIsBroken_AreAProblemWithoutATrace()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await using (var db = room.Guild.Look())
        {
            await db.Database.ExecuteSqlAsync($"alter table lot rename to lot_elsewhere", Cancellation);
        }

        using HttpResponseMessage answer = await room.Member.GetAsync("/api/v1/lots", Cancellation);
        JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.InternalServerError);
        Assert.DoesNotContain("lot_elsewhere", problem.ToString(), StringComparison.Ordinal);
    }

    private static async Task RefusedAsync(ApiRoom room, string path, string json, HttpStatusCode status, string? field, string? rule = null)
    {
        using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Volunteer, path, json);
        JsonElement problem = await ApiRoom.ProblemAsync(answer, status);
        if (rule is not null)
        {
            Assert.Equal(rule, problem.GetProperty("rule").GetString());
        }

        if (!string.IsNullOrEmpty(field))
        {
            Assert.True(problem.GetProperty("errors").TryGetProperty(field, out JsonElement sentences), $"{json}: {problem}");
            Assert.All(sentences.EnumerateArray(), sentence => Assert.EndsWith(".", sentence.GetString(), StringComparison.Ordinal));
        }
    }
}
