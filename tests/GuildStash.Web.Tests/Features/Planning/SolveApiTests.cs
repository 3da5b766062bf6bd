using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>Plans through the API; the planner itself is tested in its own project.</summary>
public sealed class SolveApiTests(PostgresFixture postgres)
{
    private const string Solve = "/api/v1/plans/solve";

    private static readonly (string Json, string Field)[] OutOfRange =
    [
        ("""{"lots":[],"pieces":[]}""", "pieces"),
        ("""{"lots":[{"code":"A","grams":0,"weightClass":"dk"}],"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "lots[0].grams"),
        ("""{"lots":[{"code":"A","grams":10}],"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "lots[0].metresPer100g"),
        ("""{"lots":[{"code":"A","grams":10,"metresPer100g":{"low":300,"likely":200,"high":250}}],"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "lots[0].metresPer100g"),
        ("""{"lots":[{"code":"A","grams":10,"weightClass":"dk"},{"code":"a","grams":10,"weightClass":"dk"}],"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "lots[1].code"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":0,"weightClasses":["dk"]}]}]}""", "pieces[0].parts[0].metres"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":-5,"weightClasses":["dk"]}]}]}""", "pieces[0].parts[0].metres"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"weightClasses":["dk"]}]}]}""", "pieces[0].parts[0].metres"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9}]}]}""", "pieces[0].parts[0].weightClasses"),
        ("""{"pieces":[{"name":"Hat","wanted":0,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "pieces[0].wanted"),
        ("""{"pieces":[{"name":"Hat","wanted":10000,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "pieces[0].wanted"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"],"strands":0}]}]}""", "pieces[0].parts[0].strands"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"],"maxLots":0}]}]}""", "pieces[0].parts[0].maxLots"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"],"colour":"family:mauve"}]}]}""", "pieces[0].parts[0].colour"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"],"colour":"palette:5","maxLots":3}]}]}""", "pieces[0].parts[0].colour"),
        ("""{"pieces":[{"name":"Hat","wanted":1,"rules":["no-purple"],"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "pieces[0].rules"),
        ("""{"safety":1.5,"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "safety"),
        ("""{"seconds":0,"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "seconds"),
        ("""{"twoStrands":[{"from":"bulky","to":"dk"}],"pieces":[{"name":"Hat","wanted":1,"parts":[{"metres":9,"weightClasses":["dk"]}]}]}""", "twoStrands"),
    ];

    private static readonly string[] Unreadable =
    [
        """{"pieces":[{"name":"Hat","wanted":"many"}]}""",
        """{"lots":[{"weightClass":"thick"}]}""",
        """{"lots":[{"fibres":[7]}]}""",
        """[]""",
    ];

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static object Lot(string code, double grams) =>
        new { code, weightClass = "dk", colourFamily = "blue", grams, metresPer100g = new { low = 200, likely = 220, high = 240 }, fibres = new[] { "PAN" }, machineWashable = true };

    private static async Task<JsonElement> PostAsync(ApiRoom room, object body)
    {
        using HttpResponseMessage answer = await room.Member.PostAsJsonAsync(Solve, body, Cancellation);
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonElement.Parse(text);
    }

    [Fact]
    public async Task Solve_WhenYarnIsShort_MakesWhatItCanAndTellsWhatIsMissing()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);

        // Computed: 100 g at 200 m to 100 g are 200 m, two hats of 90 m; 60 g are 120 m, one hat. A fourth needs 90 m of the 20 and 30 left.
        JsonElement plan = await PostAsync(room, new
        {
            lots = new[] { Lot("A", 100), Lot("B", 60) },
            pieces = new[] { new { name = "Hat", wanted = 4, priority = 2, parts = new[] { new { name = "Body", metres = 90, weightClasses = new[] { "dk" }, strands = 1, colour = "any", maxLots = 2 } } } },
            twoStrands = new[] { new { from = "dk", to = "bulky" } },
            safety = 0.95,
            seconds = 5,
            seed = 7,
        });

        Assert.Equal("optimal", plan.GetProperty("status").GetString());
        JsonElement made = plan.GetProperty("made")[0];
        Assert.Equal(("Hat", 3), (made.GetProperty("piece").GetString(), made.GetProperty("count").GetInt32()));
        JsonElement level = plan.GetProperty("levels")[0];
        Assert.Equal(("pieces", 6.0, 6.0, 0.0), (level.GetProperty("name").GetString(), level.GetProperty("value").GetDouble(), level.GetProperty("bound").GetDouble(), level.GetProperty("gap").GetDouble()));
        JsonElement[] assignments = [.. plan.GetProperty("assignments").EnumerateArray()];
        Assert.Equal([1, 2, 3], assignments.Select(each => each.GetProperty("index").GetInt32()));
        Assert.All(assignments, each => Assert.Equal((45.0, 90.0, "Body"), (each.GetProperty("grams").GetDouble(), each.GetProperty("metres").GetDouble(), each.GetProperty("part").GetString())));
        Assert.Equal([10.0, 15.0], plan.GetProperty("leftovers").EnumerateArray().Select(each => each.GetProperty("grams").GetDouble()).Order());
        JsonElement shortage = Assert.Single(plan.GetProperty("shortages").EnumerateArray());
        Assert.Equal((1, 90.0), (shortage.GetProperty("missing").GetInt32(), shortage.GetProperty("metres").GetDouble()));
        Assert.Contains("3 of 4 \"Hat\"", Assert.Single(plan.GetProperty("reasons").EnumerateArray()).GetString(), StringComparison.Ordinal);
        // Each lot is below its low figure once in twenty, and all of its pieces with it.
        Assert.InRange(made.GetProperty("chanceOfShort").GetDouble(), 0.03, 0.07);
        Assert.InRange(plan.GetProperty("chanceOfShort").GetDouble(), 0.05, 0.12);
    }

    [Fact]
    public async Task Solve_WhenTwoStrandsStandIn_TakesTwiceTheLength()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);

        JsonElement plan = await PostAsync(room, new
        {
            lots = new[] { Lot("A", 100) },
            pieces = new[] { new { name = "Warm hat", wanted = 1, parts = new[] { new { metres = 90, weightClasses = new[] { "bulky" } } } } },
            twoStrands = new[] { new { from = "dk", to = "bulky" } },
            seed = 1,
        });

        JsonElement only = Assert.Single(plan.GetProperty("assignments").EnumerateArray());
        Assert.Equal((180.0, 90.0, "part 1"), (only.GetProperty("metres").GetDouble(), only.GetProperty("grams").GetDouble(), only.GetProperty("part").GetString()));
    }

    [Fact]
    public async Task Solve_WhenNoYarnFits_NamesTheRuleAndTheLots()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);

        JsonElement plan = await PostAsync(room, new
        {
            lots = new[] { Lot("A", 100) },
            pieces = new[] { new { name = "Baby hat", wanted = 1, rules = new[] { "no-unknown-fibre" }, parts = new[] { new { metres = 40, weightClasses = new[] { "dk" }, colour = "family:red" } } } },
            seed = 1,
        });

        Assert.Equal("none", plan.GetProperty("status").GetString());
        Assert.Empty(plan.GetProperty("assignments").EnumerateArray());
        Assert.Equal("None of 1 lots fits \"part 1\" of \"Baby hat\": \"family red\" removes 1 (A). Without \"family red\" alone these would fit: A.", Assert.Single(plan.GetProperty("reasons").EnumerateArray()).GetString());
    }

    [Fact]
    public async Task Invalid_Solve_IsRefusedWithTheField()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        foreach ((string json, string field) in OutOfRange)
        {
            using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Member, Solve, json);

            JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
            Assert.True(problem.GetProperty("errors").TryGetProperty(field, out _), json + problem);
        }
    }

    [Fact]
    public async Task Invalid_Solve_WhenUnreadable_IsMalformed()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        foreach (string json in Unreadable)
        {
            using HttpResponseMessage answer = await ApiRoom.SendAsync(room.Member, Solve, json);

            Assert.Equal("malformed-request", (await ApiRoom.ProblemAsync(answer, HttpStatusCode.BadRequest)).GetProperty("rule").GetString());
        }
    }

    [Fact]
    public async Task Extreme_Solve_WhenTenThousandKindsAreSent_IsRefusedInASentence()
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        object[] pieces = [.. Enumerable.Range(0, 10_000).Select(i => new { name = $"P{i}", wanted = 1, parts = new[] { new { metres = 9, weightClasses = new[] { "dk" } } } })];

        using HttpResponseMessage answer = await room.Member.PostAsJsonAsync(Solve, new { pieces }, Cancellation);

        JsonElement problem = await ApiRoom.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Contains("10,000 kinds", problem.GetProperty("detail").GetString(), StringComparison.Ordinal);
    }
}
