using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A member keeps the filters they use often, and takes what is shown along as a file.</summary>
[Collection(DemoCollection.Name)]
public sealed partial class SavedFilterJourney(DemoSite demo)
{
    private const string Name = "Wool for socks";

    private static ILocator Saved(IPage page) => page.GetByRole(AriaRole.Region, new() { Name = "Saved filters" });

    [Fact]
    public async Task Save_WhenSignedInAgain_IsThereOpensWithOneClickAndCanBeDeletedAndUndone()
    {
        string lots;
        await using (Visitor before = await demo.SignInAsync(Role.Member))
        {
            IPage page = before.Page;
            await before.GoAsync("/inventory/lots?class=fingering");
            await page.GetByText("Filters", new() { Exact = true }).ClickAsync();
            await page.GetByLabel("Fibre", new() { Exact = true }).SelectOptionAsync("WO");
            await page.GetByRole(AriaRole.Button, new() { Name = "Show these lots" }).ClickAsync();
            await Expect(page).ToHaveURLAsync(new Regex(Regex.Escape("/inventory/lots?class=fingering&fibre=WO") + "$"));
            await Saved(page).GetByRole(AriaRole.Button, new() { Name = "Save these filters" }).ClickAsync();
            await Expect(page.GetByLabel("Name of these filters")).ToBeFocusedAsync();
            await Expect(page.GetByLabel("Name of these filters")).ToHaveValueAsync("Fingering, wool");
            await page.GetByLabel("Name of these filters").FillAsync(Name);
            await page.GetByRole(AriaRole.Button, new() { Name = "Save under this name" }).ClickAsync();
            await Expect(Saved(page).GetByRole(AriaRole.Link, new() { Name = Name })).ToHaveAttributeAsync("aria-current", "true");
            lots = await page.Locator(".stock-sentence").InnerTextAsync();
            await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
            await Expect(page).ToHaveURLAsync(SignIn());
            Assert.Empty(before.Faults);
        }

        await using Visitor after = await demo.SignInAsync(Role.Member, phone: true);
        IPage again = after.Page;
        await after.GoAsync("/inventory/lots");
        await Saved(again).GetByRole(AriaRole.Link, new() { Name = Name }).ClickAsync();
        await Expect(again).ToHaveURLAsync(new Regex(@"/inventory/lots\?class=fingering&fibre=WO$"));
        await Expect(again.Locator(".stock-sentence")).ToHaveTextAsync(lots);

        await after.GoAsync("/inventory?view=charts");
        await Saved(again).GetByRole(AriaRole.Link, new() { Name = Name }).ClickAsync();
        await Expect(again).ToHaveURLAsync(new Regex(@"/inventory\?class=fingering&fibre=WO&view=charts$"));
        await Saved(again).GetByRole(AriaRole.Button, new() { Name = "Delete" }).ClickAsync();
        await Expect(Saved(again).GetByRole(AriaRole.Link, new() { Name = Name })).ToHaveCountAsync(0);
        await Saved(again).GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await Expect(Saved(again).GetByRole(AriaRole.Link, new() { Name = Name })).ToBeVisibleAsync();
        await Saved(again).GetByRole(AriaRole.Button, new() { Name = "Delete" }).ClickAsync();
        await after.GoAsync("/inventory");
        await Expect(Saved(again)).ToHaveCountAsync(0);
        Assert.Empty(after.Faults);
    }

    [Fact]
    public async Task Download_WhenSavedAsCsv_IsAFileAndThePageStays()
    {
        await using Visitor visitor = await demo.EnterAsync(Role.Member);
        IPage page = visitor.Page;
        foreach ((string path, string name, string first) in new[] { ("/inventory?view=charts&class=dk", "inventory-free-", "\uFEFFWeight class,Colour,Lots,"), ("/inventory/lots?class=dk", "lots-", "\uFEFFLot,State,Weight class,") })
        {
            await visitor.GoAsync(path);
            IDownload file = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "Save as CSV" }).ClickAsync());

            Assert.Matches($"^{name}[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}\\.csv$", file.SuggestedFilename);
            await using Stream stream = await file.CreateReadStreamAsync();
            using StreamReader reader = new(stream, new System.Text.UTF8Encoding(false), detectEncodingFromByteOrderMarks: false);
            string text = await reader.ReadToEndAsync(Support.Site.Cancellation);
            Assert.StartsWith(first, text, StringComparison.Ordinal);
            Assert.Contains("DK", text, StringComparison.Ordinal);
            Assert.DoesNotContain("Fingering", text, StringComparison.Ordinal);
            Assert.EndsWith(path, page.Url, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Open_WhenASliceOrBarIsClicked_ShowsItsLots()
    {
        IPage page = demo.Of(Role.Member).Page;
        await demo.Of(Role.Member).GoAsync("/inventory?view=charts&unit=lots");
        await page.Locator(".ring a[href*='colour=blue']").ClickAsync();
        await Expect(page).ToHaveURLAsync(new Regex(@"/inventory/lots\?colour=blue&status=available&order=LongestFree$"));
        await demo.Of(Role.Member).GoAsync("/inventory?view=charts&unit=lots");

        // The link of the row's name lies over the whole row, bar included.
        await page.GetByRole(AriaRole.Region, new() { Name = "By weight class" }).GetByRole(AriaRole.Row, new() { Name = "Sport" }).Locator(".bar").ClickAsync(new() { Force = true });
        await Expect(page).ToHaveURLAsync(new Regex(@"/inventory/lots\?class=sport&status=available&order=LongestFree$"));
    }

    [GeneratedRegex("/account/sign-in")]
    private static partial Regex SignIn();
}
