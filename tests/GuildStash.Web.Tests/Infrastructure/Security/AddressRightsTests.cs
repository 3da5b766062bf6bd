using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Components.Endpoints;
using Microsoft.AspNetCore.Routing;
using Microsoft.AspNetCore.StaticAssets;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>The table of rights against pages, files and API of a real web server: each address by each role, by cookie and by token.</summary>
public sealed class AddressRightsTests(RightsRoom room) : IClassFixture<RightsRoom>
{
    /// <summary>Anybody may fetch them and they tell nothing of the guild: look, health, files that are not there, circuits (which ask for the cookie themselves).</summary>
    private static readonly string[] OpenAddresses = ["/_blazor", "/_framework", "/health", "/theme.css", "/{**path:file}"];

    /// <summary>What each address of the API is sent; no body is saved twice, since nothing asks for it.</summary>
    private static readonly Dictionary<string, string> Bodies = new()
    {
        ["POST /api/v1/checkouts"] = """{"lotCode":"LOT","memberEmail":"member@example.org","grams":1}""",
        ["POST /api/v1/checkouts/{id:guid}/returns"] = """{"grams":1}""",
        ["POST /api/v1/donations"] = """{"kind":"donation","grossGrams":5,"donor":{"name":"Dora Donorly"}}""",
        ["POST /api/v1/donations/{id:guid}/close"] = """{"restTo":"stuffing"}""",
        ["POST /api/v1/donations/{id:guid}/lots"] = """{"grams":5,"weightClass":"dk"}""",
        ["POST /api/v1/estimates"] = """{"grams":50,"wraps":{"count":10}}""",
        ["POST /api/v1/estimates/total"] = """{"lots":[{"grams":50,"weightClass":"dk"}]}""",
        ["POST /api/v1/plans"] = """{"pieces":[{"name":"Cap","wanted":1,"parts":[{"metres":50,"weightClasses":["dk"]}]}],"seconds":1}""",
        ["POST /api/v1/plans/{id:guid}/accept"] = "{}",
        ["POST /api/v1/plans/solve"] = """{"lots":[{"code":"A","weightClass":"dk","colourFamily":"blue","grams":100}],"pieces":[{"name":"Square","wanted":1,"parts":[{"name":"Square","metres":20,"weightClasses":["dk"],"strands":1}]}],"seconds":1}""",
        ["POST /api/v1/lots/{code}/split"] = """{"grams":1}""",
        ["POST /api/v1/lots/merge"] = """{"left":"FIRST","lotCodes":["SECOND"],"reason":"Same yarn"}""",
        ["POST /api/v1/holds"] = """{"lotCode":"LOT","grams":1}""",
    };

    private static readonly Dictionary<string, string> Queries = new()
    {
        ["/api/v1/colours/describe"] = "?hex=4f6d8f",
        ["/api/v1/colours/difference"] = "?a=4f6d8f&b=4f6d90",
        ["/api/v1/convert"] = "?from=Nm&value=2&to=tex",
    };

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    public static TheoryData<string> ByCookie => new(Rights.All.Where(r => r.Kind is "page" or "file" && r.Name != "POST /account/sign-out").Select(r => r.Key));

    public static TheoryData<string> ByToken => new(Rights.All.Where(r => r.Kind == "api").Select(r => r.Key));

    [Fact]
    public async Task Table_WhenComparedWithTheAddresses_HasEachOnceAndNoOther()
    {
        string[] served = await room.Guild.UseAsync<EndpointDataSource, string[]>(source => Task.FromResult<string[]>([.. source.Endpoints.OfType<RouteEndpoint>()
            .Where(e => e.Metadata.GetMetadata<StaticAssetDescriptor>() is null)
            .SelectMany(RowsOf).Where(row => !OpenAddresses.Any(row.Contains))]));
        string[] rows = [.. Rights.All.Where(r => r.Kind != "use").Select(r => r.Key)];

        Assert.Equal("", string.Join(", ", served.Except(rows).Select(row => $"{row} has no row in rights.txt")));
        Assert.Equal("", string.Join(", ", rows.Except(served).Select(row => $"{row} is in rights.txt and nowhere else")));
        Assert.Distinct(rows);
    }

    [Theory]
    [MemberData(nameof(ByCookie))]
    public async Task Open_WhenOfEachRole_IsAllowedFromTheLeastRoleOn(string key)
    {
        Right right = Rights.All.Single(r => r.Key == key);
        string address = room.AddressOf(right);
        foreach ((Role? role, Visitor visitor) in room.Visitors)
        {
            using HttpResponseMessage answer = await visitor.GetAsync(address);
            string target = visitor.Target(answer) ?? "";
            string text = await answer.Content.ReadAsStringAsync(Cancellation);
            string told = $"{address} answered {role?.ToString() ?? "nobody"} with {(int)answer.StatusCode} {target}";
            bool toSignIn = target.StartsWith("/account/sign-in", StringComparison.Ordinal);
            bool refused = answer.StatusCode == HttpStatusCode.Forbidden || target.StartsWith("/not-allowed", StringComparison.Ordinal);
            bool may = right.Least is null || role >= right.Least;
            Assert.True(toSignIn == (right.Least is not null && role is null), told);
            Assert.True(refused == (!may && role is not null), told);
            bool isOthers = role < right.AllFrom;
            Assert.True(!may || right.Least is null || answer.StatusCode is HttpStatusCode.OK or HttpStatusCode.UnprocessableEntity || (answer.StatusCode == HttpStatusCode.Redirect && target.Length > 0)
                || (isOthers && answer.StatusCode == HttpStatusCode.NotFound), told);
            Assert.False(isOthers && room.Marks.Any(mark => text.Contains(WebUtility.HtmlEncode(mark), StringComparison.Ordinal)), told + " and what is somebody else's");
            Assert.False(!(role >= Role.Volunteer) && text.Contains(RightsRoom.DonorName, StringComparison.Ordinal), told + " and the donor's name");
        }
    }

    [Theory]
    [MemberData(nameof(ByToken))]
    public async Task Call_WhenOfEachRole_IsAllowedFromTheLeastRoleOn(string key)
    {
        Right right = Rights.All.Single(r => r.Key == key);
        foreach (string? wrong in new[] { null, "gs_nothing", room.Tokens.Single(t => t.Role is null).Token })
        {
            using HttpResponseMessage answer = await SendAsync(right, wrong);
            Assert.True(answer.StatusCode == HttpStatusCode.Unauthorized, $"{key} answered {(int)answer.StatusCode} to the token {wrong ?? "that is missing"}");
        }

        foreach ((Role? role, string token) in room.Tokens.Where(t => t.Role is not null))
        {
            using HttpResponseMessage answer = await SendAsync(right, token);
            string text = await answer.Content.ReadAsStringAsync(Cancellation);
            string told = $"{key} answered {role} with {(int)answer.StatusCode} {text[..Math.Min(text.Length, 500)]}";
            if (role < right.AllFrom)
            {
                Assert.True(answer.StatusCode is HttpStatusCode.NotFound or HttpStatusCode.Forbidden, told);
                Assert.DoesNotContain(room.Marks, mark => text.Contains(mark, StringComparison.Ordinal));
            }
            else if (role >= right.Least)
            {
                Assert.True(answer.IsSuccessStatusCode, told);
                Assert.False(role == Role.Member && text.Contains(RightsRoom.DonorName, StringComparison.Ordinal), told);
            }
            else
            {
                Assert.True(answer.StatusCode == HttpStatusCode.Forbidden, told);
                Assert.Equal("not-allowed", JsonElement.Parse(text).GetProperty("rule").GetString());
            }
        }
    }

    /// <summary>The administrator may everything; with a token that reads only, nothing but GET.</summary>
    [Theory]
    [MemberData(nameof(ByToken))]
    public async Task Call_WhenTheTokenReadsOnly_IsGoodForGetAlone(string key)
    {
        Right right = Rights.All.Single(r => r.Key == key);
        using HttpResponseMessage answer = await SendAsync(right, room.ReadingToken);
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        string told = $"{key} answered a token that reads only with {(int)answer.StatusCode} {text[..Math.Min(text.Length, 500)]}";
        if (right.Name.StartsWith("GET ", StringComparison.Ordinal))
        {
            Assert.True(answer.IsSuccessStatusCode, told);
            return;
        }

        Assert.True(answer.StatusCode == HttpStatusCode.Forbidden, told);
        Assert.Equal("token-reads-only", JsonElement.Parse(text).GetProperty("rule").GetString());
    }

    [Fact]
    public async Task Call_WhenByCookie_OpensNothingButTheDescription()
    {
        Visitor administrator = room.Visitors.Single(v => v.Role == Role.Administrator).Visitor;
        foreach (Right right in Rights.All.Where(r => r.Kind == "api" && r.Name.StartsWith("GET ", StringComparison.Ordinal)))
        {
            using HttpResponseMessage answer = await administrator.GetAsync(room.AddressOf(right));
            bool isDescription = right.Name.Contains("/openapi/", StringComparison.Ordinal);
            Assert.True((answer.StatusCode == HttpStatusCode.OK) == isDescription, $"{right} answered {(int)answer.StatusCode} to a cookie");
        }
    }

    private async Task<HttpResponseMessage> SendAsync(Right right, string? token)
    {
        string[] parts = right.Name.Split(' ');
        string address = room.AddressOf(right);
        using HttpRequestMessage request = new(new HttpMethod(parts[0]), address + Queries.GetValueOrDefault(address, ""));
        if (parts[0] == "POST")
        {
            Assert.True(Bodies.TryGetValue(right.Name, out string? body), $"What is sent to {right.Name}? Add it to {nameof(Bodies)}.");
            if (body.Contains("FIRST", StringComparison.Ordinal))
            {
                // What waits for a second person can't be asked for twice.
                (string first, string second) = await room.AlikeAsync();
                body = body.Replace("FIRST", first, StringComparison.Ordinal).Replace("SECOND", second, StringComparison.Ordinal);
            }

            if (right.Name.EndsWith("/close", StringComparison.Ordinal))
            {
                // A bag can be closed once.
                request.RequestUri = new Uri(address.Replace(room.Gift.Id.ToString(), (await room.FreshGiftAsync()).ToString(), StringComparison.Ordinal), UriKind.Relative);
            }

            request.Content = new StringContent(body.Replace("LOT", room.Lot.Code, StringComparison.Ordinal), Encoding.UTF8, "application/json");
        }

        if (token is not null)
        {
            request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", token);
        }

        return await room.Visitors[0].Visitor.SendAsync(request);
    }

    private static IEnumerable<string> RowsOf(RouteEndpoint endpoint)
    {
        string address = "/" + endpoint.RoutePattern.RawText!.Trim('/');
        if (endpoint.Metadata.GetMetadata<ComponentTypeMetadata>() is not null)
        {
            return [$"page {address}"];
        }

        string kind = address.StartsWith("/api/", StringComparison.Ordinal) || address.StartsWith("/openapi/", StringComparison.Ordinal) ? "api" : "file";
        return (endpoint.Metadata.GetMetadata<HttpMethodMetadata>()?.HttpMethods ?? ["ANY"]).Select(verb => $"{kind} {verb} {address}");
    }
}
