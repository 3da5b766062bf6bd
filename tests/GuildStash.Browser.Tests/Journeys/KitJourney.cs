using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A kit is made by hand, fetched with the phone, weighed out, handed over, finished with leftovers, and the piece goes to the recipient.</summary>
public sealed class KitJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Kit_FromTheBinsToTheRecipient()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, volunteerOnPhone: true);
        await WantHatsAsync(room.Administrator);
        string lot = await SortAsync(room.Administrator);

        string kit = await MakeAsync(room.Administrator, lot);
        IPage phone = room.Volunteer.Page;
        await room.Volunteer.GoAsync($"/kits/pick?kit={kit}");
        await phone.GetByRole(AriaRole.Checkbox).CheckAsync();
        await Expect(phone.GetByText("1 of 1 fetched")).ToBeVisibleAsync();
        await phone.ReloadAsync();
        await room.Volunteer.InteractiveAsync();
        await Expect(phone.GetByRole(AriaRole.Checkbox)).ToBeCheckedAsync();
        string list = Papers.TextOf(await Papers.FetchAsync(room.Volunteer, $"/print/kit-pick-list.pdf?kits={kit}&paper=letter"));
        Assert.Contains(lot, list, StringComparison.Ordinal);
        IReadOnlyList<string> codes = await Papers.ScanAsync(await Papers.FetchAsync(room.Volunteer, $"/print/kit-labels.pdf?kits={kit}"));
        Assert.EndsWith($"/K/{kit}", Assert.Single(codes), StringComparison.OrdinalIgnoreCase);
        // As the phone's camera opens it.
        await phone.GotoAsync($"/k/{kit.ToLowerInvariant()}");
        await room.Volunteer.InteractiveAsync();

        await phone.GetByLabel($"Scale shows for {lot}").FillAsync("112");
        await phone.GetByLabel($"Scale shows for {lot}").PressAsync("Enter");
        await Expect(phone.GetByText($"Kit {kit} is packed.")).ToBeVisibleAsync();
        await phone.GetByLabel("Who makes it").FillAsync("Mia Member");
        await Expect(phone.Locator(".chosen")).ToContainTextAsync("Mia Member");
        await phone.GetByRole(AriaRole.Button, new() { Name = "Hand the kit over" }).ClickAsync();
        await Expect(phone.GetByText($"Kit {kit} was handed over.")).ToBeVisibleAsync();

        await room.Member.GoAsync("/my-yarn");
        await Expect(room.Member.Page.GetByRole(AriaRole.Heading, new() { Name = "My kits" })).ToBeVisibleAsync();
        await Expect(room.Member.Page.Locator(".kit-cards").GetByText(kit, new() { Exact = true }).First).ToBeVisibleAsync();

        await phone.GetByLabel($"Left of {lot}, grams").FillAsync("22");
        await phone.GetByLabel("Looked at it, nothing found").CheckAsync();
        await phone.GetByLabel("Nothing else is at home").CheckAsync();
        await phone.GetByRole(AriaRole.Button, new() { Name = "Write it down" }).ClickAsync();
        await Expect(phone.GetByText("Thank you: 2 finished. This kit took 90 g.")).ToBeVisibleAsync();

        await DeliverAsync(room.Volunteer);
        Assert.Empty(room.Volunteer.Faults);
        Assert.Empty(room.Administrator.Faults);
        Assert.Empty(room.Member.Faults);
        await room.Site.AssertBooksAreCleanAsync();
    }

    private static async Task WantHatsAsync(Visitor coordinator)
    {
        IPage page = coordinator.Page;
        await coordinator.GoAsync("/projects/new");
        await page.Locator("#name").FillAsync("Winter hats");
        await page.Locator("#piece-0-name").FillAsync("Hat");
        await page.Locator("#piece-0-wanted").FillAsync("12");
        await page.GetByRole(AriaRole.Button, new() { Name = "Start the project" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "How far it is" })).ToBeVisibleAsync();
    }

    /// <returns>The kit's number.</returns>
    private static async Task<string> MakeAsync(Visitor worker, string lot)
    {
        IPage page = worker.Page;
        await worker.GoAsync("/kits/new");
        await page.GetByLabel("Lot", new() { Exact = true }).FillAsync(lot);
        await page.GetByRole(AriaRole.Button, new() { Name = "Add this lot" }).ClickAsync();
        await page.GetByLabel("What it is for").SelectOptionAsync(new SelectOptionValue { Label = "Hat" });
        await page.Locator("#kit-pieces").FillAsync("2");
        await page.GetByLabel($"Unit for {lot}").SelectOptionAsync("grams");
        await page.GetByLabel($"How much of {lot}").FillAsync("110");
        await Expect(page.Locator(".sum")).ToContainTextAsync("110 g");
        await page.GetByRole(AriaRole.Button, new() { Name = "Make this kit" }).ClickAsync();
        await Expect(page.GetByText("The kit is made and its yarn is held.")).ToBeVisibleAsync();
        return (await page.Locator("h1 .code").InnerTextAsync()).Trim();
    }

    private static async Task DeliverAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/projects");
        await page.GetByRole(AriaRole.Link, new() { Name = "Winter hats" }).ClickAsync();
        await page.GetByText("Write pieces down", new() { Exact = true }).ClickAsync();
        await page.Locator("#record-step").SelectOptionAsync(new SelectOptionValue { Label = "handed to the recipient" });
        await page.Locator("#record-count").FillAsync("3");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it down" }).ClickAsync();
        await Expect(page.GetByText("3 can't be handed to the recipient: 2 are finished")).ToBeVisibleAsync();
        await page.Locator("#record-count").FillAsync("2");
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it down" }).ClickAsync();
        await Expect(page.GetByText("Written down: 2 finished of 12 wanted, 2 handed over.")).ToBeVisibleAsync();
    }

    /// <returns>The lot's code in groups.</returns>
    private static async Task<string> SortAsync(Visitor worker)
    {
        IPage page = worker.Page;
        await worker.GoAsync("/intake/new");
        await page.GetByLabel("Gross, grams").FillAsync("900");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Sort bag 1" }).ClickAsync();
        await worker.InteractiveAsync();
        await page.GetByLabel("Class, if known").SelectOptionAsync(new SelectOptionValue { Value = "Aran" });
        await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("400");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save this ball" }).ClickAsync();
        ILocator label = page.GetByRole(AriaRole.Link, new() { Name = "Label of " }).First;
        await Expect(label).ToBeVisibleAsync();
        return (await label.GetAttributeAsync("aria-label"))!.Replace("Label of", "", StringComparison.Ordinal).Trim();
    }
}
