using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;

namespace GuildStash.Browser.Tests.Access;

/// <summary>Who has no mouse reaches what a page is for, and sees all the way where they are.</summary>
[Collection(DemoCollection.Name)]
public sealed class KeyboardTests(DemoSite demo)
{
    private const int MostTabs = 150;

    /// <summary>As many keys as are pressed before it is asked where they led.</summary>
    private const int TabsAtATime = 10;

    public static TheoryData<string, Role?, string> MainActions => new()
    {
        { "/account/sign-in", null, "Sign in" },
        { "/invite/{invitation}", null, "Make my account" },
        { "/account/new-password/{newPassword}", null, "Save and sign in" },
        { "/intake/new", Role.Volunteer, "Log this gift" },
        { "/sorting/{bag}", Role.Volunteer, "Save this ball" },
        { "/bins/{bin}", Role.Volunteer, "Put a lot here" },
        { "/bins/new", Role.Coordinator, "Make this bin" },
        { "/inventory/{lot}", Role.Member, "Reserve" },
        { "/inventory/lots", Role.Member, "Search" },
        { "/inventory?view=charts&class=dk", Role.Member, "Save these filters" },
        { "/inventory?view=charts", Role.Member, "Fingering" },
        { "/holds/new?lots={lot}", Role.Member, "Reserve this lot" },
        { "/projects/new", Role.Coordinator, "Start the project" },
        { "/pieces", Role.Coordinator, "New piece" },
        { "/pieces/{piece}", Role.Coordinator, "Change it" },
        { "/pieces/new", Role.Volunteer, "Write it into the book" },
        { "/pieces/{piece}/edit", Role.Coordinator, "Save the piece" },
        { "/pieces/sizes", Role.Coordinator, "Change the table" },
        { "/plans/new", Role.Member, "Plan it" },
        { "/plans/{plan}", Role.Coordinator, "Plan again" },
        { "/kits", Role.Volunteer, "Make a kit" },
        { "/kits/{openKit}", Role.Member, "I'll make this" },
        { "/kits/{packedKit}", Role.Coordinator, "Hand the kit over" },
        { "/kits/pick", Role.Volunteer, "Weigh out" },
        { "/kits/new?lots={spare}", Role.Volunteer, "Make this kit" },
        { "/wanted", Role.Coordinator, "Reckon anew" },
        { "/drives/{drive}", null, "Which yarn the guild lacks" },
        { "/hand-over", Role.Volunteer, "Hand over lot" },
        { "/hand-over/now?lot={lot}", Role.Volunteer, "Hand over" },
        { "/measure", Role.Member, "Next ball" },
        { "/print", Role.Volunteer, "Open labels for all bins" },
        { "/people", Role.Administrator, "Invite somebody" },
        { "/settings", Role.Coordinator, "Save the settings" },
        { "/account/preferences", Role.Member, "Save" },
        { "/account/tokens", Role.Member, "Make a token" },
    };

    /// <summary>A page's own part is reached from its heading, where the cursor stands after a link; the menu comes first where a page is opened by its address, as each role's first one is.</summary>
    [Theory]
    [MemberData(nameof(MainActions))]
    public async Task Tab_WhenPressedAgainAndAgain_ReachesTheMainActionWithAVisibleFocus(string path, Role? role, string action)
    {
        Visitor visitor = demo.Of(role);
        IPage page = visitor.Page;
        bool isStatic = new Spot(path, role).IsStatic;
        await page.SetViewportSizeAsync(1440, 900);
        await (isStatic ? page.GotoAsync(demo.Address(path)) : visitor.GoAsync(demo.Address(path)));
        await visitor.SettledAsync(isStatic);
        await page.EvaluateAsync(WriteStopsDown);
        IReadOnlyList<Stop> passed = [];
        for (int tab = 1; tab <= MostTabs; tab++)
        {
            await page.Keyboard.PressAsync("Tab");
            if (tab % TabsAtATime != 0)
            {
                continue;
            }

            passed = await page.EvaluateAsync<Stop[]>("() => window.stops");
            int reached = passed.TakeWhile(stop => !(stop.Acts && stop.Name.StartsWith(action, StringComparison.Ordinal))).Count();
            if (reached < passed.Count)
            {
                Assert.Empty(passed.Take(reached + 1).Where(stop => !stop.Visible).Select(stop => stop.Name));
                return;
            }
        }

        Assert.Fail($"'{action}' was not reached: {string.Join(", ", passed.Select(stop => stop.Name))}");
    }

    [Fact]
    public async Task Enter_WhenOnTheSkipLink_LeadsToTheContent()
    {
        IPage page = demo.Of(Role.Volunteer).Page;
        await page.GotoAsync("/sorting");
        await demo.Of(Role.Volunteer).SettledAsync();
        await page.Locator("a.skip").FocusAsync();
        Assert.True((await page.EvaluateAsync<Stop>(WhereAmI)).Visible);
        await page.Keyboard.PressAsync("Enter");
        await Assertions.Expect(page.Locator("main")).ToBeFocusedAsync();
    }

    /// <summary>Where the focus is, and whether somebody who looks at the page can tell.</summary>
    /// <remarks>
    /// A ring of the element itself, or of its label or row where the field itself is not drawn, must be at least 2 px thick and
    /// within the window. The calendar button inside a date field has the browser's own ring, which no style of the field tells.
    /// </remarks>
    private const string WhereAmI = """
        () => {
          const at = document.activeElement;
          const ring = (e, part) => {
            const style = getComputedStyle(e, part);
            return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
          };
          const around = [at, at.closest('label'), at.closest('tr'), at.nextElementSibling];
          const drawn = around.filter(e => e && (ring(e) || ring(e, '::after')));
          const frame = at.closest('.mud-input')?.querySelector('.mud-input-outlined-border');
          if (frame && parseFloat(getComputedStyle(frame).borderTopWidth) >= 2) drawn.push(frame);
          const seen = drawn.some(e => {
            const box = e.getBoundingClientRect();
            return box.width > 4 && box.height > 4 && box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
          });
          const label = at.getAttribute('aria-label') ?? at.labels?.[0]?.textContent ?? at.textContent;
          return { name: label.trim().replace(/\s+/g, ' ') || at.outerHTML.slice(0, 120), visible: seen || at === document.body || at.matches('input[type=date]:not(:focus-visible)'), acts: at.matches('a, button') };
        }
        """;

    /// <summary>From now on the page writes down each place where the keys lead to; a heading gets the focus from the page itself, and by no key.</summary>
    private const string WriteStopsDown = $$"""
        () => {
          const whereAmI = {{WhereAmI}};
          window.stops = [];
          if (window.hearsStops) return;
          window.hearsStops = true;
          document.addEventListener('focusin', event => event.target.tabIndex >= 0 && window.stops.push(whereAmI()));
        }
        """;

    private sealed class Stop
    {
        public string Name { get; set; } = "";

        public bool Visible { get; set; }

        public bool Acts { get; set; }
    }
}
