using Microsoft.Playwright;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>One person at one browser. When the test fails, the last page is kept as a picture beside the results.</summary>
public sealed class Visitor : IAsyncDisposable
{
    private readonly IBrowserContext _context;
    private readonly List<string> _faults = [];

    private Visitor(IBrowserContext context, IPage page) => (_context, Page) = (context, page);

    public IPage Page { get; }

    /// <summary>Cuts this browser off the network, or lets it back.</summary>
    public Task BeOfflineAsync(bool offline) => _context.SetOfflineAsync(offline);

    /// <summary>Cuts this browser off the network, and its page off its circuit.</summary>
    public async Task LoseTheServerAsync()
    {
        await BeOfflineAsync(true);
        await Page.EvaluateAsync("() => Blazor.disconnect()");
    }

    /// <summary>Errors of scripts and requests to anywhere but the site.</summary>
    public IReadOnlyList<string> Faults => _faults;

    /// <summary>What makes this browser signed in.</summary>
    public async Task<IReadOnlyList<Cookie>> CookiesAsync() =>
        [.. (await _context.CookiesAsync()).Select(c => new Cookie { Name = c.Name, Value = c.Value, Domain = c.Domain, Path = c.Path, Expires = c.Expires, HttpOnly = c.HttpOnly, Secure = c.Secure, SameSite = c.SameSite })];

    /// <param name="cookies">Those of a browser that is signed in; a copy of its database knows them too, and on one machine they hold for every port.</param>
    public static async Task<Visitor> OpenAsync(BrowserFixture browser, Site site, bool phone = false, IReadOnlyList<Cookie>? cookies = null)
    {
        IBrowserContext context = await browser.Browser.NewContextAsync(new BrowserNewContextOptions
        {
            BaseURL = site.Address.ToString(),
            ViewportSize = phone ? new ViewportSize { Width = 360, Height = 740 } : new ViewportSize { Width = 1440, Height = 900 },
            HasTouch = phone,
            Locale = "en-GB",
        });
        context.SetDefaultTimeout(20_000);
        if (cookies is not null)
        {
            await context.AddCookiesAsync(cookies);
        }

        Visitor visitor = new(context, await context.NewPageAsync());
        visitor.Page.PageError += (_, fault) => visitor._faults.Add(fault);
        visitor.Page.Request += (_, request) =>
        {
            if (!request.Url.StartsWith(site.Address.ToString(), StringComparison.Ordinal) && !request.Url.StartsWith("data:", StringComparison.Ordinal) && !request.Url.StartsWith("blob:", StringComparison.Ordinal))
            {
                visitor._faults.Add("Asked elsewhere: " + request.Url);
            }
        };
        return visitor;
    }

    /// <summary>From the next page loaded, every message of its socket takes 200 ms, there and back, as over a poor mobile network; in the order it was sent.</summary>
    public Task BeSlowAsync() => Page.AddInitScriptAsync(
        """
        const send = WebSocket.prototype.send;
        WebSocket.prototype.send = function (data) { setTimeout(() => send.call(this, data), 200); };
        const { get, set } = Object.getOwnPropertyDescriptor(WebSocket.prototype, 'onmessage');
        Object.defineProperty(WebSocket.prototype, 'onmessage', {
          configurable: true, get,
          set(hear) { set.call(this, hear && (event => setTimeout(() => hear.call(this, event), 200))); },
        });
        """);

    public async Task SignInAsync(string email, string password)
    {
        await Page.GotoAsync("/account/sign-in");
        await Page.GetByLabel("E-mail address").FillAsync(email);
        await Page.GetByLabel("Password", new PageGetByLabelOptions { Exact = true }).FillAsync(password);
        await Page.GetByRole(AriaRole.Button, new PageGetByRoleOptions { Name = "Sign in" }).ClickAsync();
        await Assertions.Expect(Page).Not.ToHaveURLAsync(new System.Text.RegularExpressions.Regex("/account/sign-in"));
    }

    /// <summary>
    /// Goes to a page and waits until it answers to typing: the circuit is up. From another station of the room it goes as by a link, in the circuit
    /// that is there.
    /// </summary>
    public async Task GoAsync(string path)
    {
        if (IsElsewhere(path) && await FollowAsync(path))
        {
            await InteractiveAsync();
            return;
        }

        try
        {
            await Page.GotoAsync(path);
        }
        catch (PlaywrightException aborted) when (aborted.Message.Contains("ERR_ABORTED", StringComparison.Ordinal) || aborted.Message.Contains("interrupted by another navigation", StringComparison.Ordinal))
        {
            // A page that was waiting for its server loads itself anew once that is back, and gets in the way.
            await Page.GotoAsync(path);
        }

        await InteractiveAsync();
    }

    /// <summary>Goes to another page as by a link, in the circuit that is there, and waits for its heading.</summary>
    /// <returns>False where there is no circuit, and nothing was done.</returns>
    public async Task<bool> FollowAsync(string path)
    {
        bool hasCircuit = await Page.EvaluateAsync<bool>(FollowLink, path);
        if (hasCircuit)
        {
            await Page.WaitForFunctionAsync("() => !window.left?.isConnected && document.querySelector('h1')");
        }

        return hasCircuit;
    }

    private const string FollowLink = """
        address => {
          if (document.documentElement.dataset.interactive !== 'true') return false;
          window.left = document.querySelector('h1');
          Blazor.navigateTo(address);
          return true;
        }
        """;

    /// <summary>Whether the address leads to another station of the room; within one, the page may stay and only show something else.</summary>
    private bool IsElsewhere(string path) =>
        path.StartsWith('/') && Uri.TryCreate(Page.Url, UriKind.Absolute, out Uri? here) && here.Scheme == Uri.UriSchemeHttp && Station(path) != Station(here.AbsolutePath);

    private static string Station(string path) => path.Split('/', '?')[1];

    /// <summary>Waits until the page's circuit is connected; app.js marks the document then.</summary>
    public Task InteractiveAsync() => Page.WaitForFunctionAsync("() => document.documentElement.dataset.interactive === 'true'");

    /// <summary>Waits until the page has its circuit, has fetched what it shows, and its letters are drawn.</summary>
    /// <param name="isStatic">The page needs no circuit.</param>
    public async Task SettledAsync(bool isStatic = false)
    {
        if (!isStatic)
        {
            await InteractiveAsync();
        }

        await Page.WaitForFunctionAsync("() => !document.querySelector('.skeleton') && document.fonts.status === 'loaded'");
    }

    public async ValueTask DisposeAsync()
    {
        if (TestContext.Current.TestState?.Result == TestResult.Failed)
        {
            string folder = Path.Combine(AppContext.BaseDirectory, "failures");
            Directory.CreateDirectory(folder);
            await Page.ScreenshotAsync(new PageScreenshotOptions { Path = Path.Combine(folder, $"{TestContext.Current.TestMethod?.MethodName}-{Guid.NewGuid():N}.png"), FullPage = true });
        }

        await _context.DisposeAsync();
    }
}
