using Deque.AxeCore.Commons;
using GuildStash.Browser.Tests.Support;
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

    /// <summary>The rules that look at colours.</summary>
    private static readonly string[] ColourRules = ["color-contrast", "link-in-text-block"];

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
        // From a page's last look to the next page's first one nothing changes: each change has the whole page drawn anew.
        bool isDeskFirst = _pages % 2 == 0;
        await (isDeskFirst ? AppearAsync(DeskWidth, ColorScheme.Light) : AppearAsync(PhoneWidth, ColorScheme.Dark));
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

        if (isDeskFirst)
        {
            faults.AddRange(await BrokenRulesAsync("light"));
            await AppearAsync(DeskWidth, ColorScheme.Dark);
            faults.AddRange(await BrokenRulesAsync("dark", only: ColourRules));
            await AppearAsync(PhoneWidth, ColorScheme.Dark);
        }

        if (await page.EvaluateAsync<string?>(Sideways) is { } wide)
        {
            faults.Add($"scrolls sideways at {PhoneWidth} px: {wide}");
        }

        // As tall as the page: what the bar at the thumb happens to cover is no smaller once it is scrolled to.
        await page.SetViewportSizeAsync(PhoneWidth, await page.EvaluateAsync<int>("() => document.scrollingElement.scrollHeight"));

        // The colours that only a phone shows are those of its bars, alike on every page of a person.
        faults.AddRange(await BrokenRulesAsync("phone", without: _pages < 2 ? [] : ColourRules));
        if (!isDeskFirst)
        {
            await AppearAsync(DeskWidth, ColorScheme.Dark);
            faults.AddRange(await BrokenRulesAsync("dark"));
            await AppearAsync(DeskWidth, ColorScheme.Light);
            faults.AddRange(await BrokenRulesAsync("light", only: ColourRules));
        }

        _pages++;

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

    private async Task AppearAsync(int width, ColorScheme scheme)
    {
        await visitor.Page.EmulateMediaAsync(new PageEmulateMediaOptions { ColorScheme = scheme });
        await visitor.Page.SetViewportSizeAsync(width, width == PhoneWidth ? 740 : 900);
    }

    /// <param name="only">The rules that may find something new; all when null.</param>
    /// <param name="without">Rules that would find nothing new.</param>
    private async Task<IEnumerable<string>> BrokenRulesAsync(string look, string[]? only = null, string[]? without = null) =>
        (await visitor.Page.EvaluateAsync<string[]>(RunAxe, new { only = only is null ? new { type = "tag", values = Standards } : new { type = "rule", values = only }, without = without ?? [] }))
            .Select(violation => $"{look}: {violation}");

    /// <summary>Each broken rule with the first elements that break it.</summary>
    private const string RunAxe = """
        async ({ only, without }) => {
          const rules = Object.fromEntries(without.map(rule => [rule, { enabled: false }]));
          const result = await axe.run(document, { runOnly: only, rules, resultTypes: ['violations'], preload: false, iframes: false });
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
}
