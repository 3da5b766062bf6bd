using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A coordinator moves a cut of the weight classes, sees what follows, and takes it back; then lets the room start learning over.</summary>
[Collection(DemoCollection.Name)]
public sealed class WeightClassJourney(DemoSite demo)
{
    [Fact]
    public async Task Change_WhenACutIsMoved_ThePreviewTellsTheLotsThatFollow()
    {
        await using Visitor coordinator = await demo.EnterAsync(Role.Coordinator);
        IPage page = coordinator.Page;
        await coordinator.GoAsync("/settings/weight-classes");
        await page.GetByRole(AriaRole.Link, new() { Name = "Change the table" }).ClickAsync();
        ILocator cut = page.GetByLabel("Worsted or aran: up to so many wraps per inch");
        await cut.FillAsync("14.5");
        await page.GetByRole(AriaRole.Button, new() { Name = "Show what it would change" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("DK: wraps from 14.5 to 14.5 hold nothing");

        await cut.FillAsync("13.5");
        await page.GetByRole(AriaRole.Button, new() { Name = "Show what it would change" }).ClickAsync();
        ILocator first = page.Locator("section.block tbody tr").First;
        await Expect(first).ToContainTextAsync("DK");
        string lot = (await first.GetByRole(AriaRole.Link).GetAttributeAsync("href"))!;
        string then = (await first.Locator("td").Nth(1).InnerTextAsync()).Trim();
        await page.GetByRole(AriaRole.Button, new() { Name = "Put this table into force" }).ClickAsync();
        await Expect(page.GetByText(new Regex("The table “own-\\d+” is in force"))).ToBeVisibleAsync();
        await Expect(page.GetByText("All lots have figures by the rules in force.").Or(page.GetByText("The lots are being computed anew"))).ToBeVisibleAsync();
        await Expect(page.GetByText("The lots are being computed anew")).ToHaveCountAsync(0, new() { Timeout = 60_000 });

        await coordinator.GoAsync(lot);
        await Expect(page.Locator("main")).ToContainTextAsync(then);

        await coordinator.GoAsync("/settings/weight-classes/change");
        await page.GetByRole(AriaRole.Button, new() { Name = "Back to the standard table" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Put the standard table into force" }).ClickAsync();
        await Expect(page.GetByText("The table “snug-1” is in force")).ToBeVisibleAsync();
        await Expect(page.GetByText("The lots are being computed anew")).ToHaveCountAsync(0, new() { Timeout = 60_000 });
        Assert.Empty(coordinator.Faults);
    }

    [Fact]
    public async Task Learn_WhenTheRoomStartsOver_NoLotTeachesUntilItIsTakenBack()
    {
        await using Visitor coordinator = await demo.EnterAsync(Role.Coordinator);
        IPage page = coordinator.Page;
        await coordinator.GoAsync("/settings");
        await page.GetByRole(AriaRole.Link, new() { Name = "How length is told" }).ClickAsync();
        ILocator chart = page.GetByRole(AriaRole.Img, new() { Name = "Length of 100 g against wraps per inch" });
        await Expect(chart.Locator("circle.lot").First).ToBeVisibleAsync();
        int lots = await chart.Locator("circle.lot").CountAsync();
        await Expect(page.GetByText(new Regex("It rests on \\d+ lots"))).ToBeVisibleAsync();

        await page.GetByRole(AriaRole.Button, new() { Name = "Forget what was learnt so far" }).ClickAsync();
        await Expect(page.GetByText("No lot teaches yet")).ToBeVisibleAsync();
        await Expect(chart.Locator("circle.lot")).ToHaveCountAsync(0);
        await page.GetByRole(AriaRole.Button, new() { Name = "Let all lots teach again" }).ClickAsync();
        await Expect(chart.Locator("circle.lot")).ToHaveCountAsync(lots);
        Assert.Empty(coordinator.Faults);
    }
}
