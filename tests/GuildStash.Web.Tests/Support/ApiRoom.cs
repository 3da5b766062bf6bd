using System.Net;
using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Security.Claims;
using System.Text;
using System.Text.Json;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.Options;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>A guild whose web server runs, with a client and a token for each role.</summary>
public sealed class ApiRoom : IAsyncDisposable
{
    private readonly List<HttpClient> _clients = [];
    private readonly Uri _address;

    private ApiRoom(GuildRoom guild, Uri address) => (Guild, _address) = (guild, address);

    public GuildRoom Guild { get; }

    public HttpClient Nobody { get; private set; } = null!;

    public HttpClient Coordinator { get; private set; } = null!;

    public HttpClient Volunteer { get; private set; } = null!;

    public HttpClient Member { get; private set; } = null!;

    public HttpClient OtherMember { get; private set; } = null!;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <param name="way">Another way to the same database, from its connection string.</param>
    public static async Task<ApiRoom> OpenAsync(PostgresFixture postgres, Func<string, string>? way = null)
    {
        GuildRoom guild = await GuildRoom.OpenAsync(postgres, null, way);
        ApiRoom room = new(guild, await guild.ServeAsync());
        room.Nobody = room.Client(null);
        room.Coordinator = room.Client(await room.TokenOfAsync(guild.Coordinator));
        room.Volunteer = room.Client(await room.TokenOfAsync(guild.Volunteer));
        room.Member = room.Client(await room.TokenOfAsync(guild.Member));
        room.OtherMember = room.Client(await room.TokenOfAsync(guild.OtherMember));
        return room;
    }

    /// <summary>A client that follows no redirect and keeps no cookie.</summary>
    public HttpClient Client(string? token)
    {
        HttpClient client = new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = _address };
        if (token is not null)
        {
            client.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", token);
        }

        _clients.Add(client);
        return client;
    }

    public async Task<string> TokenOfAsync(Guid person, TokenScope scope = TokenScope.Write) =>
        (await Guild.DoAsync<IssueToken, IssuedToken>(issue => issue.RunAsync(person, "test", TokenIssuer.DefaultDays, scope, Cancellation))).Token;

    /// <summary>A client signed in as a browser is, by cookie.</summary>
    /// <param name="since">When the password was typed; now when null.</param>
    public async Task<HttpClient> BrowserOfAsync(Guid person, DateTimeOffset? since = null)
    {
        string cookie = await Guild.UseAsync<IServiceProvider, string>(services => CookieAsync(services, person, since ?? DateTimeOffset.UtcNow));
        HttpClient client = Client(null);
        client.DefaultRequestHeaders.Add("Cookie", cookie);
        return client;
    }

    private static async Task<string> CookieAsync(IServiceProvider services, Guid person, DateTimeOffset since)
    {
        T Get<T>() => (T)services.GetService(typeof(T))!;
        UserManager<Person> people = Get<UserManager<Person>>();
        Person found = (await people.FindByIdAsync(person.ToString()))!;
        ClaimsPrincipal principal = await Get<IUserClaimsPrincipalFactory<Person>>().CreateAsync(found);
        CookieAuthenticationOptions options = Get<IOptionsMonitor<CookieAuthenticationOptions>>().Get(IdentityConstants.ApplicationScheme);
        AuthenticationProperties properties = new() { IssuedUtc = DateTimeOffset.UtcNow, ExpiresUtc = DateTimeOffset.UtcNow.AddHours(1), Items = { ["since"] = since.ToString("O") } };
        return $"{options.Cookie.Name}={options.TicketDataFormat.Protect(new AuthenticationTicket(principal, properties, IdentityConstants.ApplicationScheme))}";
    }

    /// <summary>Logs a gift of one bag and gives its key.</summary>
    public async Task<Guid> GiveAsync(decimal grossGrams = 1000, params string[] conditions)
    {
        JsonElement gift = await PostAsync(Volunteer, "/api/v1/donations", new { kind = "donation", grossGrams, tareGrams = 50, conditions });
        return gift.GetProperty("id").GetGuid();
    }

    /// <summary>Sorts a lot out of the gift's first bag and gives its code.</summary>
    public async Task<string> SortAsync(Guid gift, object lot) =>
        (await PostAsync(Volunteer, $"/api/v1/donations/{gift}/lots", lot)).GetProperty("code").GetString()!;

    /// <summary>Posts what must be accepted with 201.</summary>
    public static async Task<JsonElement> PostAsync(HttpClient client, string path, object body)
    {
        using HttpResponseMessage answer = await client.PostAsJsonAsync(path, body, Cancellation);
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.Created, $"{(int)answer.StatusCode} {text}");
        return JsonElement.Parse(text);
    }

    public static async Task<JsonElement> GetAsync(HttpClient client, string path)
    {
        using HttpResponseMessage answer = await client.GetAsync(path, Cancellation);
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, $"{(int)answer.StatusCode} {text}");
        return JsonElement.Parse(text);
    }

    /// <summary>Sends raw JSON, so that what no serialiser would write can be sent too.</summary>
    public static async Task<HttpResponseMessage> SendAsync(HttpClient client, string path, string json, string? key = null)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, path) { Content = new StringContent(json, Encoding.UTF8, "application/json") };
        if (key is not null)
        {
            request.Headers.Add("Idempotency-Key", key);
        }

        return await client.SendAsync(request, Cancellation);
    }

    /// <summary>The problem document of a refused request, after looking at everything that all of them have.</summary>
    public static async Task<JsonElement> ProblemAsync(HttpResponseMessage answer, HttpStatusCode status)
    {
        string text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == status, $"{(int)answer.StatusCode} instead of {(int)status}: {text}");
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType?.MediaType);
        JsonElement problem = JsonElement.Parse(text);
        Assert.Equal((int)status, problem.GetProperty("status").GetInt32());
        string detail = problem.GetProperty("detail").GetString()!;
        Assert.EndsWith(".", detail, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", text, StringComparison.Ordinal);
        return problem;
    }

    public async ValueTask DisposeAsync()
    {
        _clients.ForEach(client => client.Dispose());
        await Guild.DisposeAsync();
    }
}
