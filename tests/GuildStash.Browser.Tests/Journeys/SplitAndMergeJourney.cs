using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A volunteer makes a part of a lot a lot of its own and changes their mind; another person approves; the history tells it.</summary>
[Collection(DemoCollection.Name)]
public sealed partial class SplitAndMergeJourney(DemoSite demo)
{
    [Fact]
    public async Task Merge_WhenAnotherAccountApproves_LeadsFromTheOldLabelToTheHistory()
    {
        await using Visitor volunteer = await demo.EnterAsync(Role.Volunteer);
        IPage page = volunteer.Page;
        await volunteer.GoAsync(demo.Address("/inventory/{spare}"));
        await page.GetByText("Make a part of it a lot of its own").ClickAsync();
        await page.GetByLabel("Grams of the part").FillAsync("17");
        await page.GetByRole(AriaRole.Button, new() { Name = "Make it a lot of its own" }).ClickAsync();
        ILocator done = page.Locator("p.done");
        await Expect(done).ToContainTextAsync("17 g are lot");
        string part = NewCode().Match(await done.InnerTextAsync()).Value;
        await Expect(done.GetByRole(AriaRole.Link, new() { Name = "Print its label" })).ToHaveAttributeAsync("href", new Regex("codes=" + part.Replace("-", "", StringComparison.Ordinal)));

        await page.GetByRole(AriaRole.Link, new() { Name = "Merge it with another lot" }).ClickAsync();
        await page.GetByLabel("Codes of the other lots").FillAsync(part);
        await page.GetByRole(AriaRole.Button, new() { Name = "Look at them together" }).ClickAsync();
        await page.GetByLabel("Why").FillAsync("The project was called off.");
        await page.GetByRole(AriaRole.Button, new() { Name = "Ask a second person to merge them" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Status).First).ToContainTextAsync("waits for a second person");

        await using (Visitor coordinator = await demo.EnterAsync(Role.Coordinator))
        {
            await coordinator.GoAsync("/second-person");
            ILocator card = coordinator.Page.GetByRole(AriaRole.Article).Filter(new() { HasText = part });
            await card.GetByRole(AriaRole.Button, new() { NameRegex = Approve() }).ClickAsync();
            await Expect(coordinator.Page.Locator("p.done")).ToContainTextAsync("the old codes lead to this lot");
            Assert.Empty(coordinator.Faults);
        }

        await volunteer.GoAsync("/inventory/" + part);
        await Expect(page.Locator(".merged-away")).ToContainTextAsync($"Lot {part} went into this lot");
        await page.GetByRole(AriaRole.Link, new() { Name = "Where it came from and what became of it" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Img, new() { NameRegex = Strands() })).ToBeVisibleAsync();
        await Expect(page.GetByRole(AriaRole.Row).Filter(new() { HasText = "merged" }).Filter(new() { HasText = "17 g" })).ToContainTextAsync("Lot " + part);
        Assert.Empty(volunteer.Faults);
    }

    [GeneratedRegex("[0-9A-Z]{4}-[0-9A-Z]{3}")]
    private static partial Regex NewCode();

    [GeneratedRegex("^Approve it")]
    private static partial Regex Approve();

    [GeneratedRegex("^Strands")]
    private static partial Regex Strands();
}
