using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A coordinator registers a scale; a volunteer counts a bin, nobody else gets yarn out of it meanwhile, and the difference is approved.</summary>
public sealed class CountJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Count_WhenALotIsFarOff_FreezesTheBinAndAsksASecondPerson()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: [Role.Administrator, Role.Volunteer]);
        IPage admin = room.Administrator.Page;
        await room.Administrator.GoAsync("/scales");
        await admin.GetByRole(AriaRole.Button, new() { Name = "Add a scale" }).ClickAsync();
        await admin.GetByLabel("Name").FillAsync("Bench scale");
        await admin.GetByLabel("Smallest step").FillAsync("5");
        await admin.GetByRole(AriaRole.Button, new() { Name = "Save this scale" }).ClickAsync();
        await Expect(admin.GetByRole(AriaRole.Heading, new() { Name = "Bench scale" })).ToBeVisibleAsync();

        string lot = await SortAsync(room.Volunteer, await MakeBinAsync(room.Volunteer));
        IPage page = room.Volunteer.Page;
        await room.Volunteer.GoAsync("/counts");
        await page.GetByRole(AriaRole.Button, new() { Name = "Count it" }).ClickAsync();
        await page.GetByLabel("Scale", new() { Exact = true }).SelectOptionAsync(new SelectOptionValue { Label = "Bench scale (5 g)" });
        await page.GetByLabel($"{lot}, grams").FillAsync("320");

        await room.Administrator.GoAsync($"/hand-over/now?lot={lot}");
        await admin.GetByLabel("Scale shows").FillAsync("50");
        await admin.GetByLabel("Member", new() { Exact = true }).FillAsync("Mia Member");
        await Expect(admin.Locator(".chosen")).ToContainTextAsync("Mia Member");
        await admin.GetByRole(AriaRole.Button, new() { Name = "Hand over", Exact = true }).ClickAsync();
        await Expect(admin.GetByText("nothing leaves or enters until the count is ended")).ToBeVisibleAsync();

        // Gone away and come back: what was weighed is still there.
        await page.ReloadAsync();
        await room.Volunteer.InteractiveAsync();
        await Expect(page.GetByLabel($"{lot}, grams")).ToHaveValueAsync("320");
        await page.GetByRole(AriaRole.Button, new() { Name = "Compare with the books" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "End it and ask a second person" }).ClickAsync();
        await Expect(page.GetByText("waits for a second person").First).ToBeVisibleAsync();

        await room.Administrator.GoAsync("/second-person");
        await admin.GetByRole(AriaRole.Button, new() { Name = "Approve it" }).ClickAsync();
        await Expect(admin.GetByText("has 320 g in its bin now, as it was counted.")).ToBeVisibleAsync();
        await page.ReloadAsync();
        await Expect(page.Locator(".history").GetByText("approved and booked")).ToBeVisibleAsync();

        Assert.Empty(room.Volunteer.Faults);
        Assert.Empty(room.Administrator.Faults);
        await room.Site.AssertBooksAreCleanAsync();
    }

    /// <returns>The bin's code in groups.</returns>
    private static async Task<string> MakeBinAsync(Visitor volunteer)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/bins/new");
        await page.GetByLabel("Name").FillAsync("Blues");
        await page.GetByRole(AriaRole.Button, new() { Name = "Make this bin" }).ClickAsync();
        ILocator made = page.GetByRole(AriaRole.Heading, new() { Name = "is made" });
        await Expect(made).ToBeVisibleAsync();
        return (await made.InnerTextAsync()).Split(' ').First(word => word.Contains('-', StringComparison.Ordinal));
    }

    /// <returns>The lot's code in groups.</returns>
    private static async Task<string> SortAsync(Visitor volunteer, string bin)
    {
        IPage page = volunteer.Page;
        await volunteer.GoAsync("/intake/new");
        await page.GetByLabel("Gross, grams").FillAsync("900");
        await page.GetByRole(AriaRole.Button, new() { Name = "Log this gift" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Sort bag 1" }).ClickAsync();
        await volunteer.InteractiveAsync();
        await page.GetByLabel("Class, if known").SelectOptionAsync(new SelectOptionValue { Value = "Aran" });
        await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("400");
        await page.Locator("#binCode").FillAsync(bin);
        await page.GetByRole(AriaRole.Button, new() { Name = "Save this ball" }).ClickAsync();
        ILocator label = page.GetByRole(AriaRole.Link, new() { Name = "Label of " }).First;
        await Expect(label).ToBeVisibleAsync();
        return (await label.GetAttributeAsync("aria-label"))!.Replace("Label of", "", StringComparison.Ordinal).Trim();
    }
}
