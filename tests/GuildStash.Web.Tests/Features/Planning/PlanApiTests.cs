using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>Plans of the guild's own yarn through the API, with the job that seeks them.</summary>
public sealed class PlanApiTests(PostgresFixture postgres)
{
    private const string Plans = "/api/v1/plans";
    private const string Cap = """{"name":"Morning caps","pieces":[{"name":"Cap","wanted":2,"parts":[{"name":"Body","metres":60,"weightClasses":["dk"]}]}],"seconds":5,"seed":3}""";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static async Task<JsonElement> AcceptedAsync(HttpResponseMessage answer)
    {
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.Accepted, $"{(int)answer.StatusCode} {text}");
        return JsonElement.Parse(text);
    }

    private static async Task<JsonElement> EndedAsync(HttpClient client, string address)
    {
        while (true)
        {
            JsonElement plan = await ApiRoom.GetAsync(client, address);
            if (plan.GetProperty("status").GetString() is not ("waiting" or "running"))
            {
                return plan;
            }
        }
    }

    [Fact]
    public async Task Plan_WhenAskedSoughtAndAccepted_HoldsItsYarnOnce()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        string lot = await room.SortAsync(await room.GiveAsync(), new { grams = 200, weightClass = "dk" });

        using HttpResponseMessage asked = await ApiRoom.SendAsync(room.Member, Plans, Cap, "caps-1");
        JsonElement plan = await AcceptedAsync(asked);
        string address = asked.Headers.Location!.OriginalString;
        Assert.Equal($"{Plans}/{plan.GetProperty("id").GetGuid()}", address);
        Assert.Equal("waiting", plan.GetProperty("status").GetString());
        using HttpResponseMessage repeated = await ApiRoom.SendAsync(room.Member, Plans, Cap, "caps-1");
        Assert.Equal(plan.GetProperty("id").GetGuid(), (await AcceptedAsync(repeated)).GetProperty("id").GetGuid());

        JsonElement ended = await EndedAsync(room.Member, address);
        Assert.Equal(("done", "optimal"), (ended.GetProperty("status").GetString(), ended.GetProperty("result").GetString()));
        Assert.Equal((2.0, 2.0, 0.0), (ended.GetProperty("best").GetDouble(), ended.GetProperty("bound").GetDouble(), ended.GetProperty("gap").GetDouble()));
        JsonElement[] assignments = [.. ended.GetProperty("assignments").EnumerateArray()];
        Assert.Equal(2, assignments.Length);
        Assert.All(assignments, each => Assert.Equal((lot, 60.0), (each.GetProperty("lot").GetString(), each.GetProperty("metres").GetDouble())));
        Assert.InRange(ended.GetProperty("chanceOfShort").GetDouble(), 0.01, 0.1);

        using HttpResponseMessage accepted = await room.Member.PostAsync(new Uri(address + "/accept", UriKind.Relative), null, Cancellation);
        string text = await accepted.Content.ReadAsStringAsync(Cancellation);
        Assert.True(accepted.StatusCode == HttpStatusCode.OK, text);
        Assert.Equal(2, JsonElement.Parse(text).GetProperty("kits").GetArrayLength());
        using HttpResponseMessage again = await ApiRoom.SendAsync(room.Member, address + "/accept", """{"piecesInKit":2}""");
        Assert.Equal(text, await again.Content.ReadAsStringAsync(Cancellation));
        double taken = assignments.Sum(each => each.GetProperty("grams").GetDouble());
        Assert.Equal(200 - taken, (await ApiRoom.GetAsync(room.Volunteer, $"/api/v1/lots/{lot}")).GetProperty("freeGrams").GetDouble(), 3);
    }

    [Fact]
    public async Task Plan_WhenFiltersLeaveNoLot_SaysSoAndCanNotBeAccepted()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        await room.SortAsync(await room.GiveAsync(), new { grams = 200, weightClass = "dk", colourFamily = "blue" });

        using HttpResponseMessage asked = await ApiRoom.SendAsync(room.Member, Plans, Cap.Replace("\"seed\":3", "\"colourFamilies\":[\"red\"]", StringComparison.Ordinal));
        await AcceptedAsync(asked);
        JsonElement ended = await EndedAsync(room.Member, asked.Headers.Location!.OriginalString);

        Assert.Equal("none", ended.GetProperty("result").GetString());
        Assert.Contains("There are no lots to plan with", ended.GetProperty("reasons")[0].GetString(), StringComparison.Ordinal);
        using HttpResponseMessage refused = await ApiRoom.SendAsync(room.Member, asked.Headers.Location.OriginalString + "/accept", "{}");
        Assert.Equal("plan-empty", (await ApiRoom.ProblemAsync(refused, HttpStatusCode.Conflict)).GetProperty("rule").GetString());
    }

    [Theory]
    [InlineData("""{}""", "pieces")]
    [InlineData("""{"pieces":[{"pieceId":"00000000-0000-7000-8000-000000000000","wanted":1}]}""", "pieces[0].pieceId")]
    [InlineData("""{"pieces":[{"wantedPieceId":"00000000-0000-7000-8000-000000000000"}]}""", "pieces[0].wantedPieceId")]
    [InlineData("""{"projectIds":["00000000-0000-7000-8000-000000000000"]}""", "projects")]
    [InlineData("""{"bins":["ZZZZ"],"pieces":[{"name":"Cap","wanted":1,"parts":[{"metres":60,"weightClasses":["dk"]}]}]}""", "bins")]
    [InlineData("""{"fibres":["QQ"],"pieces":[{"name":"Cap","wanted":1,"parts":[{"metres":60,"weightClasses":["dk"]}]}]}""", "fibres")]
    [InlineData("""{"seconds":61,"pieces":[{"name":"Cap","wanted":1,"parts":[{"metres":60,"weightClasses":["dk"]}]}]}""", "seconds")]
    [InlineData("""{"safety":1,"pieces":[{"name":"Cap","wanted":1,"parts":[{"metres":60,"weightClasses":["dk"]}]}]}""", "safety")]
    [InlineData("""{"pieces":[{"name":"Cap","wanted":1,"parts":[{"metres":-60,"weightClasses":["dk"]}]}]}""", "pieces[0].parts[0].metres")]
    [InlineData("""{"pieces":[{"name":"Cap","wanted":0,"parts":[{"metres":60,"weightClasses":["dk"]}]}]}""", "pieces[0].wanted")]
    public async Task Invalid_Plan_IsRefusedWithTheFieldAndWaitsNowhere(string json, string field)
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);

        using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Member, Plans, json);

        JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.True(problem.GetProperty("errors").TryGetProperty(field, out _), problem.ToString());
        await using var db = room.Guild.Look();
        Assert.Equal(0, await db.Plans.CountAsync(Cancellation));
    }

    [Fact]
    public async Task Plan_WhenOfAnother_IsNotFoundAndDrivesAreForTheRoom()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        using HttpResponseMessage asked = await ApiRoom.SendAsync(room.Member, Plans, Cap);
        string address = asked.Headers.Location!.OriginalString;

        using HttpResponseMessage other = await room.OtherMember.GetAsync(new Uri(address, UriKind.Relative), Cancellation);
        await ApiRoom.ProblemAsync(other, HttpStatusCode.NotFound);
        await ApiRoom.GetAsync(room.Volunteer, address);
        using HttpResponseMessage drive = await ApiRoom.SendAsync(room.Member, Plans, Cap.Replace("{\"name\":\"Morning caps\"", "{\"purpose\":\"drive\"", StringComparison.Ordinal));
        Assert.Equal("not-allowed", (await ApiRoom.ProblemAsync(drive, HttpStatusCode.Forbidden)).GetProperty("rule").GetString());
        using HttpResponseMessage wanted = await room.Volunteer.PostAsJsonAsync(Plans, new { purpose = "wanted" }, Cancellation);
        Assert.Equal("not-allowed", (await ApiRoom.ProblemAsync(wanted, HttpStatusCode.Forbidden)).GetProperty("rule").GetString());
    }
}
