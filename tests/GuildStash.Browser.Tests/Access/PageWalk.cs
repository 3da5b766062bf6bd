using Deque.AxeCore.Commons;
using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;
using Microsoft.Playwright;

namespace GuildStash.Browser.Tests.Access;

/// <summary>
/// Goes from page to page in one person's browser, as a link does, and writes down what is wrong with each. That each page opens by its
/// address, too, is asked with the pseudo-language.
/// </summary>
public sealed class PageWalk(Visitor visitor)
{
    private const int DeskWidth = 1440;
    private const int PhoneWidth = 360;

    private static readonly string[] Standards = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

    private static readonly string Axe = new BundledAxeScriptProvider().GetScript();

    private readonly List<string> _console = [];
    private int _pages;
    private string? _area;

    public async Task<IReadOnlyList<string>> WalkAsync(IEnumerable<(string Address, Spot Spot)> spots)
    {
        List<string> faults = [];
        void Keep(object? sender, IConsoleMessage message)
        {
            if (message.Type == "error")
            {
                _console.Add(message.Text);
            }
        }

        visitor.Page.Console += Keep;
        await visitor.Page.EmulateMediaAsync(new PageEmulateMediaOptions { ReducedMotion = ReducedMotion.Reduce });
        foreach ((string address, Spot spot) in InTurns(spots))
        {
            try
            {
                faults.AddRange((await LookAtAsync(address, spot)).Select(fault => $"{spot}: {fault}"));
            }
            catch (Exception fault) when (fault is PlaywrightException or TimeoutException)
            {
                faults.Add($"{spot}: {fault.Message}");
            }
        }

        visitor.Page.Console -= Keep;
        return faults;
    }

    private async Task<List<string>> LookAtAsync(string address, Spot spot)
    {
        IPage page = visitor.Page;
        List<string> faults = [];
        int faultsBefore = visitor.Faults.Count;
        _console.Clear();
        IReadOnlyList<Look> looks = LooksAt(_pages++);
        await AppearAsync(looks[0]);
        if (await GoAsync(address, spot) is var status && status != spot.Status)
        {
            faults.Add($"answered {status}");
        }

        if (await page.Locator("h1").CountAsync() != 1)
        {
            faults.Add($"{await page.Locator("h1").CountAsync()} first headings");
        }

        if (await page.TitleAsync() is not { Length: > 12 } title || !title.EndsWith(" · GuildStash", StringComparison.Ordinal))
        {
            faults.Add($"the title is '{await page.TitleAsync()}'");
        }

        if (!await page.EvaluateAsync<bool>("() => 'axe' in window"))
        {
            await page.EvaluateAsync(Axe);
        }

        foreach (Look look in looks)
        {
            if (look != looks[0])
            {
                await AppearAsync(look);
            }

            if (look.Width == PhoneWidth)
            {
                if (await page.EvaluateAsync<string?>(Sideways) is { } wide)
                {
                    faults.Add($"scrolls sideways at {PhoneWidth} px: {wide}");
                }

                // As tall as the page: what the bar at the thumb happens to cover is no smaller once it is scrolled to.
                await page.SetViewportSizeAsync(PhoneWidth, await page.EvaluateAsync<int>("() => document.scrollingElement.scrollHeight"));
            }

            faults.AddRange(await BrokenRulesAsync(look));
        }

        // The browser itself reports the status of a page that is not there.
        faults.AddRange(_console.Where(text => spot.Status == 200 || !text.Contains($"status of {spot.Status}", StringComparison.Ordinal)).Select(text => "console: " + text));
        faults.AddRange(visitor.Faults.Skip(faultsBefore));
        return faults;
    }

    /// <summary>Goes on in the same circuit where one may, which spares a start of the page's programs. Within an area a page may stay and only show something else.</summary>
    private async Task<int> GoAsync(string address, Spot spot)
    {
        IPage page = visitor.Page;
        int status = spot.Status;
        if (_area is null || _area == spot.Area || spot.IsStatic || spot.Status != 200 || !await visitor.FollowAsync(address))
        {
            status = (await page.GotoAsync(address))!.Status;
        }

        await visitor.SettledAsync(spot.IsStatic);
        _area = spot.IsStatic || spot.Status != 200 ? null : spot.Area;
        return status;
    }

    /// <summary>Pages without a circuit first; of the others, no two of one area after each other while there are any of another.</summary>
    private static IEnumerable<(string Address, Spot Spot)> InTurns(IEnumerable<(string Address, Spot Spot)> spots) => spots
        .GroupBy(spot => (spot.Spot.IsStatic, spot.Spot.Area))
        .SelectMany(area => area.Select((spot, round) => (Spot: spot, Round: area.Key.IsStatic ? -1 : round)))
        .OrderBy(turn => turn.Round)
        .Select(turn => turn.Spot);

    /// <summary>
    /// Each page is looked at in light and in dark, on a desk and on a phone, by all rules; of the four ways of putting that together two take turns from
    /// page to page, and --long looks at all. From a page's last look to the next page's first one little changes: each change has the whole page drawn anew.
    /// </summary>
    private static IReadOnlyList<Look> LooksAt(int page)
    {
        (ColorScheme desk, ColorScheme phone) = page / 2 % 2 == 0 ? (ColorScheme.Light, ColorScheme.Dark) : (ColorScheme.Dark, ColorScheme.Light);
        Look[] two = page % 2 == 0 ? [new Look(DeskWidth, desk), new Look(PhoneWidth, phone)] : [new Look(PhoneWidth, phone), new Look(DeskWidth, desk)];
        return TestLength.IsLong ? [.. two, new Look(DeskWidth, phone), new Look(PhoneWidth, desk)] : two;
    }

    private async Task AppearAsync(Look look)
    {
        await visitor.Page.EmulateMediaAsync(new PageEmulateMediaOptions { ColorScheme = look.Scheme });
        await visitor.Page.SetViewportSizeAsync(look.Width, look.Width == PhoneWidth ? 740 : 900);
    }

    private async Task<IEnumerable<string>> BrokenRulesAsync(Look look) =>
        (await visitor.Page.EvaluateAsync<string[]>(RunAxe, Standards)).Select(violation => $"{look}: {violation}");

    /// <summary>Each broken rule with the first elements that break it.</summary>
    private const string RunAxe = """
        async standards => {
          const result = await axe.run(document, { runOnly: { type: 'tag', values: standards }, resultTypes: ['violations'], preload: false, iframes: false });
          return result.violations.map(v => `${v.id}: ${v.help}: ` + v.nodes.slice(0, 3).map(n => `${n.target} ${n.html}`).join(' | '));
        }
        """;

    /// <summary>Null where the page fits; else its width and the innermost elements that stick out.</summary>
    private const string Sideways = """
        () => {
          const width = document.scrollingElement.scrollWidth;
          if (width <= innerWidth) return null;
          const out = [...document.querySelectorAll('main *')].filter(e => e.getBoundingClientRect().right > innerWidth + 0.5 && !e.closest('.scroll'));
          return width + ' px, ' + out.slice(-3).map(e => e.tagName + '.' + e.className).join(', ');
        }
        """;

    /// <param name="Width">In CSS pixels.</param>
    private sealed record Look(int Width, ColorScheme Scheme)
    {
        public override string ToString() => $"{Scheme} at {Width} px";
    }
}
