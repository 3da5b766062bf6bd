using System.IO.Compression;
using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;
using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Builder;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>What real answers carry: headers, cookies, forms that prove where they come from, files that a spreadsheet can't run.</summary>
public sealed partial class AnswersTests(RightsRoom room) : IClassFixture<RightsRoom>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private Visitor Administrator => room.Visitors.Single(v => v.Role == Role.Administrator).Visitor;

    [Theory]
    [InlineData("/", true)]
    [InlineData("/account/sign-in", false)]
    [InlineData("/no/such/page", false)]
    [InlineData("/status/400", false)]
    [InlineData("/drives/hats", false)]
    [InlineData("/wanted/open", false)]
    [InlineData("/wanted", true)]
    [InlineData("/theme.css", false)]
    [InlineData("/health", false)]
    [InlineData("/health/ready", false)]
    [InlineData("/api/v1/lots", false)]
    [InlineData("/csv/lots.csv", true)]
    [InlineData("/print/test-page.pdf", true)]
    public async Task Headers_WhenAnythingIsAnswered_AreStrict(string path, bool isOwn)
    {
        using HttpResponseMessage answer = await Administrator.GetAsync(path);
        string Header(string name) => answer.Headers.TryGetValues(name, out IEnumerable<string>? values) ? string.Join(" | ", values) : "";
        string[] policy = Header("Content-Security-Policy").Split(["; ", " | "], StringSplitOptions.None);

        Assert.True(policy.Contains("default-src 'self'"), $"{(int)answer.StatusCode} {answer.Headers} {answer.Content.Headers}");
        Assert.Contains("script-src 'self'", policy);
        Assert.Contains("object-src 'none'", policy);
        Assert.Contains("base-uri 'self'", policy);
        Assert.Contains("form-action 'self'", policy);
        Assert.All(policy.Where(p => p.StartsWith("frame-ancestors", StringComparison.Ordinal)), p => Assert.Equal("frame-ancestors 'none'", p));
        Assert.Contains("frame-ancestors 'none'", policy);
        Assert.DoesNotContain(policy, p => !p.StartsWith("style-src", StringComparison.Ordinal) && p.Contains("unsafe", StringComparison.Ordinal));
        Assert.Equal(("nosniff", "same-origin", "same-origin", "same-origin"),
            (Header("X-Content-Type-Options"), Header("Referrer-Policy"), Header("Cross-Origin-Opener-Policy"), Header("Cross-Origin-Resource-Policy")));
        Assert.Equal("", Header("Access-Control-Allow-Origin") + Header("Server") + Header("X-Powered-By") + Header("Strict-Transport-Security"));
        Assert.True(!isOwn || answer.Headers.CacheControl is { NoStore: true }, $"{path} may be cached: {answer.Headers.CacheControl}");
    }

    [Theory]
    [InlineData("/health")]
    [InlineData("/health/live")]
    [InlineData("/health/ready")]
    public async Task Health_WhenAsked_IsToldInAWord(string path)
    {
        using HttpResponseMessage answer = await Administrator.GetAsync(path);

        Assert.Equal((HttpStatusCode.OK, "Healthy"), (answer.StatusCode, await answer.Content.ReadAsStringAsync(Cancellation)));
    }

    [Fact]
    public async Task Scripts_WhenPagesAreRead_AreNeverInline()
    {
        foreach (Right page in Rights.All.Where(r => r.Kind == "page"))
        {
            IHtmlDocument html = await Administrator.OpenAsync(room.AddressOf(page));
            Assert.All(html.QuerySelectorAll("script").Where(s => s.GetAttribute("type") is null or "" or "module" or "text/javascript"), script => Assert.NotNull(script.GetAttribute("src")));
            Assert.DoesNotContain(html.All.SelectMany(e => e.Attributes), a => a.Name.StartsWith("on", StringComparison.Ordinal) || a.Value.StartsWith("javascript:", StringComparison.OrdinalIgnoreCase));
        }
    }

    [Fact]
    public async Task Forms_WhenTheyPost_CarryTheirTokenAndAreRefusedWithout()
    {
        int forms = 0;
        foreach ((Right page, Visitor visitor) in Rights.All.Where(r => r.Kind == "page" && !r.Name.EndsWith("/{Secret}", StringComparison.Ordinal))
            .SelectMany(page => new[] { (page, room.Visitors[0].Visitor), (page, Administrator) }))
        {
            forms += await PostedFormsAsync(visitor, room.AddressOf(page));
        }

        NewInvitation invitation = await room.Guild.DoAsync<InvitePerson, NewInvitation>(u => u.RunAsync(room.Guild.Administrator, new InvitationInput(Role.Member), Cancellation));
        int invited = await PostedFormsAsync(room.Visitors[0].Visitor, invitation.Path);
        NewPasswordLink link = await room.Guild.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(room.Guild.Administrator, room.Guild.Member, Cancellation));
        int reset = await PostedFormsAsync(room.Visitors[0].Visitor, link.Path);
        Assert.True(forms > 20 && invited == 1 && reset == 1, $"{forms}, {invited} and {reset} forms were found.");
    }

    [Fact]
    public async Task Files_WhenCellsBeginLikeFormulas_EscapeThemAll()
    {
        await using (GuildDbContext db = room.Guild.Look())
        {
            foreach (string start in new[] { "=", "+", "-", "@", "\t", "\r" })
            {
                string cell = start + "1+1";
                Guid copy = Guid.CreateVersion7();
                await db.Database.ExecuteSqlAsync($"insert into bin (id, code, name, kind, site_id, place, notes, version, created_at, created_by_id, changed_at, changed_by_id) select {copy}, right({copy}::text, 8), {cell}, kind, site_id, {cell}, {cell}, 0, created_at, created_by_id, changed_at, changed_by_id from bin limit 1", Cancellation);
                await db.Database.ExecuteSqlAsync($"insert into donor (id, name, contact, created_at, created_by_id, changed_at, changed_by_id, version) select {copy}, {cell}, {cell}, created_at, created_by_id, changed_at, changed_by_id, 0 from donor limit 1", Cancellation);
            }

            await db.Database.ExecuteSqlAsync($"update lot set notes = '=1+1', dye_lot = '@1', care_notes = '+1'", Cancellation);
            await db.Database.ExecuteSqlAsync($"update donation set wishes = '-1+1', notes = e'\t=1'", Cancellation);
        }

        List<(string Name, string Text)> files = [];
        foreach (Right file in Rights.All.Where(r => r.Kind == "file" && (r.Name.EndsWith(".csv", StringComparison.Ordinal) || r.Name.EndsWith(".zip", StringComparison.Ordinal))))
        {
            using HttpResponseMessage answer = await Administrator.GetAsync(room.AddressOf(file));
            Assert.Equal((file.Key, HttpStatusCode.OK, "attachment"), (file.Key, answer.StatusCode, answer.Content.Headers.ContentDisposition?.DispositionType));
            byte[] bytes = await answer.Content.ReadAsByteArrayAsync(Cancellation);
            files.AddRange(file.Name.EndsWith(".csv", StringComparison.Ordinal) ? [(file.Key, Encoding.UTF8.GetString(bytes).TrimStart('\uFEFF'))] : CsvOf(bytes));
        }

        Assert.True(files.Count > 10);
        Assert.All(files, file => Assert.DoesNotMatch(FormulaCell(), file.Text));
        Assert.Contains("'=1+1", files.Single(f => f.Name.EndsWith("/csv/lots.csv", StringComparison.Ordinal)).Text, StringComparison.Ordinal);
        Assert.Equal(6, files.Single(f => f.Name == "csv/donor.csv").Text.Split("'", StringSplitOptions.None).Length / 2);
    }

    [Fact]
    public async Task SignOut_WhenASharedDeskIsLeft_AsksTheBrowserToForgetWhatItKept()
    {
        using Visitor visitor = await room.Web.SignInAsync("member@example.org");
        IElement form = (await visitor.OpenAsync("/")).QuerySelector("form[action='/account/sign-out']")!;

        using HttpResponseMessage answer = await visitor.PostAsync("/", form);

        Assert.Equal("\"cache\", \"storage\"", Assert.Single(answer.Headers.GetValues("Clear-Site-Data")));
    }

    private static async Task<int> PostedFormsAsync(Visitor visitor, string path)
    {
        IHtmlDocument page = await visitor.OpenAsync(path);
        IElement[] forms = [.. page.QuerySelectorAll("form[method=post]")];
        foreach (IElement form in forms)
        {
            string action = form.GetAttribute("action") is { Length: > 0 } named ? named : path;
            string handler = form.QuerySelector("input[name=_handler]")?.GetAttribute("value") ?? "";
            bool isOfACircuit = handler.Length == 0 && action != "/account/sign-out";
            Assert.True(isOfACircuit || form.QuerySelector("input[name=__RequestVerificationToken]") is not null, $"{path}: a form has no token.");
            using HttpResponseMessage refused = await visitor.PostBareAsync(action, ("_handler", handler));
            Assert.True(refused.StatusCode is HttpStatusCode.BadRequest or HttpStatusCode.TooManyRequests, $"{action} ({handler}) took a form without its token: {(int)refused.StatusCode}");
        }

        return forms.Length;
    }

    private static IEnumerable<(string Name, string Text)> CsvOf(byte[] zip)
    {
        using ZipArchive archive = new(new MemoryStream(zip));
        foreach (ZipArchiveEntry entry in archive.Entries.Where(e => e.FullName.EndsWith(".csv", StringComparison.Ordinal)))
        {
            using StreamReader reader = new(entry.Open());
            yield return (entry.FullName, reader.ReadToEnd());
        }
    }

    /// <summary>A cell, with or without quotation marks, that a spreadsheet would run; numbers below zero are none.</summary>
    [GeneratedRegex("""(^|[,\n])"?[=+@\t\r]|(^|[,\n])"?-(?![0-9.]+"?[,\r\n])""")]
    private static partial Regex FormulaCell();
}

/// <summary>The cookies, as a browser behind a proxy with HTTPS and one without get them.</summary>
public sealed class CookieTests(PostgresFixture postgres)
{
    [Theory]
    [InlineData(false, true)]
    [InlineData(true, true)]
    [InlineData(true, false)]
    public async Task Cookies_WhenSet_AreHttpOnlySameSiteAndSecureOverHttps(bool said, bool byTheProxy)
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres, builder => builder.Services.PostConfigure<ForwardedHeadersOptions>(
            o => o.KnownProxies.Add(byTheProxy ? IPAddress.Loopback : IPAddress.Parse("192.0.2.1"))));
        bool https = said && byTheProxy;
        using Visitor visitor = room.Visit();
        using HttpRequestMessage open = Request(HttpMethod.Get, said);
        using HttpResponseMessage page = await visitor.SendAsync(open);
        IElement form = (await Visitor.PageAsync(page)).QuerySelector("form")!;
        string antiforgery = Assert.Single(page.Headers.GetValues("Set-Cookie"));
        using HttpRequestMessage post = Request(HttpMethod.Post, said);
        post.Headers.Add("Cookie", antiforgery.Split(';')[0]);
        post.Content = new FormUrlEncodedContent(new Dictionary<string, string>
        {
            ["_handler"] = "sign-in",
            ["__RequestVerificationToken"] = ((IHtmlInputElement)form.QuerySelector("input[name=__RequestVerificationToken]")!).Value,
            ["email"] = "member@example.org",
            ["password"] = GuildRoom.Password,
        });

        using HttpResponseMessage signedIn = await visitor.SendAsync(post);

        Assert.Equal(HttpStatusCode.Redirect, signedIn.StatusCode);
        string session = Assert.Single(signedIn.Headers.GetValues("Set-Cookie"), c => c.StartsWith("guildstash=", StringComparison.Ordinal));
        Assert.Contains("samesite=lax", session, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=strict", antiforgery, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("expires=", session, StringComparison.OrdinalIgnoreCase);
        foreach (string cookie in new[] { session, antiforgery })
        {
            Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
            Assert.Contains("path=/", cookie, StringComparison.OrdinalIgnoreCase);
            Assert.Equal(https, cookie.Contains("; secure", StringComparison.OrdinalIgnoreCase));
        }

        Assert.Equal(https, signedIn.Headers.Contains("Strict-Transport-Security"));
    }

    [Theory]
    [InlineData(89, true)]
    [InlineData(91, false)]
    public async Task SignIn_WhenItBeganLongAgo_EndsHoweverOftenItWasUsed(int days, bool holds)
    {
        await using ApiRoom room = await ApiRoom.OpenAsync(postgres);
        HttpClient browser = await room.BrowserOfAsync(room.Guild.Member, since: DateTimeOffset.UtcNow.AddDays(-days));

        using HttpResponseMessage answer = await browser.GetAsync("/", TestContext.Current.CancellationToken);

        Assert.Equal(holds ? HttpStatusCode.OK : HttpStatusCode.Redirect, answer.StatusCode);
    }

    [Theory]
    [InlineData("http://evil.example.org", HttpStatusCode.Forbidden)]
    [InlineData("null", HttpStatusCode.Forbidden)]
    [InlineData("https://room.example.org", HttpStatusCode.OK)]
    [InlineData(null, HttpStatusCode.OK)]
    public async Task Circuit_WhenAPageOfAnotherSiteOpensIt_IsRefused(string? origin, HttpStatusCode expected)
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = room.Visit();
        using HttpRequestMessage request = new(HttpMethod.Post, "/_blazor/negotiate?negotiateVersion=1");
        if (origin is not null)
        {
            request.Headers.Add("Origin", origin);
        }

        using HttpResponseMessage answer = await visitor.SendAsync(request);

        Assert.Equal(expected, answer.StatusCode);
    }

    private static HttpRequestMessage Request(HttpMethod method, bool https)
    {
        HttpRequestMessage request = new(method, "/account/sign-in");
        if (https)
        {
            request.Headers.Add("X-Forwarded-Proto", "https");
        }

        return request;
    }
}
