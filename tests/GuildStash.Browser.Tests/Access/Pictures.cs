using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;

namespace GuildStash.Browser.Tests.Access;

/// <summary>Pictures of the main screens for the documents; docs/pictures/make.sh runs it.</summary>
[Collection(DemoCollection.Name)]
public sealed class Pictures(DemoSite demo)
{
    private const string FolderName = "GUILDSTASH_PICTURES";
    private const int MostBytes = 250_000;

    private static readonly (string Name, string Path, Role Role)[] Screens =
    [
        ("home", "/", Role.Coordinator),
        ("intake", "/intake/{gift}", Role.Volunteer),
        ("sorting", "/sorting/{bag}", Role.Volunteer),
        ("wall", "/inventory", Role.Volunteer),
        ("table", "/inventory?view=table", Role.Volunteer),
        ("charts", "/inventory?view=charts", Role.Volunteer),
        ("lot", "/inventory/{redLot}", Role.Volunteer),
        ("hand-over", "/hand-over", Role.Volunteer),
        ("bins", "/bins", Role.Volunteer),
        ("reserve", "/holds/new?lots={redLot}", Role.Member),
        ("my-yarn", "/my-yarn", Role.Member),
        ("project", "/projects/{project}", Role.Coordinator),
        ("measure", "/measure?wraps=11&grams=150", Role.Volunteer),
        ("piece", "/pieces/{piece}", Role.Coordinator),
        ("plan", "/plans/{plan}", Role.Coordinator),
        ("kit", "/kits/{openKit}", Role.Volunteer),
        ("freezer", "/freezer", Role.Volunteer),
    ];

    [Fact(Explicit = true)]
    public async Task Take_OfEachMainScreen_LightDarkAndOnAPhone()
    {
        string folder = Environment.GetEnvironmentVariable(FolderName) ?? throw new InvalidOperationException($"{FolderName} names no folder for the pictures.");
        Directory.CreateDirectory(folder);
        foreach ((string name, string path, Role role) in Screens)
        {
            Visitor visitor = demo.Of(role);
            foreach ((string look, int width, int height, ColorScheme scheme) in new[] { ("light", 1440, 900, ColorScheme.Light), ("dark", 1440, 900, ColorScheme.Dark), ("phone", 390, 844, ColorScheme.Light) })
            {
                await visitor.Page.SetViewportSizeAsync(width, height);
                await visitor.Page.EmulateMediaAsync(new PageEmulateMediaOptions { ColorScheme = scheme, ReducedMotion = ReducedMotion.Reduce });
                await visitor.Page.GotoAsync(demo.Address(path));
                await visitor.SettledAsync();
                await ShowAtWorkAsync(visitor.Page, name);
                byte[] picture = await visitor.Page.ScreenshotAsync(new PageScreenshotOptions { Path = Path.Combine(folder, $"{name}-{look}.png"), Caret = ScreenshotCaret.Hide });
                Assert.True(picture.Length <= MostBytes, $"{name}-{look}.png has {picture.Length} bytes.");
            }
        }
    }

    /// <summary>Types what makes a form tell something.</summary>
    private static async Task ShowAtWorkAsync(IPage page, string name)
    {
        if (name == "sorting")
        {
            await page.Locator("[id='wraps.count']").FillAsync("18");
            await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("150");
            await Assertions.Expect(page.GetByRole(AriaRole.Complementary, new() { Name = "This ball" })).ToContainTextAsync("at most");

            // What an earlier picture typed is a draft by now, and the note about it is put away.
            ILocator keep = page.GetByRole(AriaRole.Button, new() { Name = "Keep it and go on" });
            if (await keep.IsVisibleAsync())
            {
                await keep.ClickAsync();
            }

            // On a phone the row stands above the bar of stations, and takes its place a moment after one begins to type.
            await page.WaitForFunctionAsync("() => innerWidth > 760 || document.querySelector('.ball-row').getBoundingClientRect().bottom >= innerHeight");
        }

        await page.EvaluateAsync("() => scrollTo(0, 0)");
    }
}
