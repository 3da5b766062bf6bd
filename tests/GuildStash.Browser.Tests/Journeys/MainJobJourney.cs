using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>The main job as people do it, from the code in the console of an empty guild to the table of what is left.</summary>
public sealed class MainJobJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task MainJob_WhenABagIsLoggedSortedReservedTakenAndReturned_TheTableTellsWhatIsLeft()
    {
        await using Room room = await Room.OpenAsync(postgres, browser);
        await LogBagAsync(room.Volunteer);
        await SortThreeLotsAsync(room.Volunteer);
        string code = await ReadPapersAsync(room.Volunteer);
        await ReserveAsync(room.Member, code);
        await HandOverAsync(room.Volunteer, code);
        await TakeBackAsync(room.Volunteer);
        await ReadTableAsync(room.Member);
        Assert.Empty(room.Volunteer.Faults);
        Assert.Empty(room.Member.Faults);
        await room.Site.AssertBooksAreCleanAsync();
    }

    private static async Task LogBagAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/intake/new");
        await page.GetByLabel("Gross, grams").FillAsync("560,5");
        await page.GetByLabel("Tare, grams").FillAsync("40.5");
        await page.GetByLabel("The donor's wishes").FillAsync("For <b>children</b>, please");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "The gift is logged" })).ToBeVisibleAsync();
        await Expect(page.Locator(".logged-number")).ToContainTextAsync("-0001");
        await page.GetByRole(AriaRole.Link, new() { Name = "Sort bag 1" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync("Sorting");
        await volunteer.InteractiveAsync();
    }

    private static async Task SortThreeLotsAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        ILocator panel = page.GetByRole(AriaRole.Complementary, new() { Name = "This ball" });
        await page.GetByLabel("Class, if known").SelectOptionAsync(new SelectOptionValue { Value = "Aran" });
        await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("150");
        await Expect(panel).ToContainTextAsync("at least 255 yd");
        await SaveAsync(page, 1);

        // By keyboard alone: wraps, Enter, grams, Enter.
        await page.GetByLabel("Class, if known").SelectOptionAsync(new SelectOptionValue { Value = "" });
        await TypeBallAsync(page, "13", "96");
        await Expect(panel).ToContainTextAsync("DK");
        await page.Keyboard.PressAsync("Enter");
        await SavedAsync(page, 2);
        await TypeBallAsync(page, "10", "200");
        await Expect(panel).ToContainTextAsync("orsted or aran");
        await page.Keyboard.PressAsync("Enter");
        await SavedAsync(page, 3);
    }

    private static async Task TypeBallAsync(IPage page, string wraps, string grams)
    {
        await page.Locator("[id='wraps.count']").FillAsync(wraps);
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.GetByLabel("Grams", new() { Exact = true })).ToBeFocusedAsync();
        await page.Keyboard.TypeAsync(grams);
    }

    private static async Task SaveAsync(IPage page, int lots)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = "Save this ball" }).ClickAsync();
        await SavedAsync(page, lots);
    }

    private static Task SavedAsync(IPage page, int lots) => Expect(page.GetByRole(AriaRole.Link, new() { Name = "Label of " })).ToHaveCountAsync(lots);

    /// <summary>Prints the intake sheet and a label and reads both back.</summary>
    /// <returns>Code of the aran lot, in groups.</returns>
    private static async Task<string> ReadPapersAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        string sheetAddress = (await page.GetByRole(AriaRole.Link, new() { Name = "Print sheet" }).GetAttributeAsync("href"))!;
        byte[] sheet = await Papers.FetchAsync(volunteer, sheetAddress);
        string text = Papers.TextOf(sheet);
        Assert.Contains("-0001", text, StringComparison.Ordinal);
        Assert.Contains("Harbour Yarn Guild", text, StringComparison.Ordinal);
        Assert.Contains("<b>children</b>", text, StringComparison.Ordinal);
        Assert.Contains("255", text, StringComparison.Ordinal);

        ILocator aran = page.GetByRole(AriaRole.Row).Filter(new() { HasText = "Aran" }).First;
        string label = (await aran.GetByRole(AriaRole.Link, new() { Name = "Label of" }).GetAttributeAsync("href"))!;
        byte[] paper = await Papers.FetchAsync(volunteer, label);
        string link = Assert.Single(await Papers.ScanAsync(paper));
        IResponse opened = (await page.GotoAsync(link))!;
        Assert.True(opened.Ok, link);
        string code = (await page.Locator("h1 .code, h1 [translate=no]").First.InnerTextAsync()).Trim();
        Assert.Contains(code, Papers.TextOf(paper), StringComparison.Ordinal);
        return code;
    }

    private static async Task ReserveAsync(Visitor member, string code)
    {
        IPage page = member.Page;
        await member.GoAsync("/holds/new?lots=" + code.Replace("-", "", StringComparison.Ordinal));
        await page.GetByLabel($"How much of {code}").FillAsync("100");
        await Expect(page.GetByText("59 g, at least 100 yd")).ToBeVisibleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Reserve this lot" }).ClickAsync();
        await Expect(page).ToHaveURLAsync(new Regex(@"/holds/[^/]*\?new=true$"));
        await Expect(page.GetByText("R-", new() { Exact = false }).First).ToBeVisibleAsync();

        // Another hold for more than is left is refused beside its lot, and the member reads why.
        await member.GoAsync("/holds/new?lots=" + code.Replace("-", "", StringComparison.Ordinal));
        await page.GetByLabel($"How much of {code}").FillAsync("200");
        await page.GetByRole(AriaRole.Button, new() { Name = "Reserve this lot" }).ClickAsync();
        await Expect(page.GetByText("surely free. Ask for less", new() { Exact = false })).ToBeVisibleAsync();
    }

    private static async Task HandOverAsync(Visitor volunteer, string code)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/hand-over");
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Mia Member" })).ToBeVisibleAsync();
        string slip = (await page.GetByRole(AriaRole.Link, new() { Name = "Print slip" }).GetAttributeAsync("href"))!;
        Assert.Contains(code, Papers.TextOf(await Papers.FetchAsync(volunteer, slip)), StringComparison.Ordinal);
        await page.GetByLabel($"Scale shows for {code}").FillAsync("60");
        await page.GetByRole(AriaRole.Button, new() { Name = "Hand over lot" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Nobody waits" })).ToBeVisibleAsync();
    }

    private static async Task TakeBackAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/hand-over?tab=home");
        await page.GetByRole(AriaRole.Button, new() { Name = "Take back" }).ClickAsync();
        await page.GetByLabel("Scale shows").FillAsync("20");
        await page.GetByLabel("Looked at it, nothing found").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Take it back" }).ClickAsync();
        await Expect(page.Locator(".done")).ToBeVisibleAsync();
    }

    /// <summary>150 g of aran less 60 g taken plus 20 g brought back: 110 g, and 406 g of all three lots.</summary>
    private static async Task ReadTableAsync(Visitor member)
    {
        IPage page = member.Page;
        await member.GoAsync("/inventory?view=table&unit=grams");
        ILocator table = page.GetByRole(AriaRole.Table);
        await Expect(table.GetByRole(AriaRole.Row).Filter(new() { HasText = "Aran" }).First).ToContainTextAsync("110");
        await Expect(table.GetByRole(AriaRole.Row).Filter(new() { HasText = "Total" }).Last).ToContainTextAsync("406");
    }
}
