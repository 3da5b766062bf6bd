using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>Who clicks twice meant once.</summary>
public sealed class DoubleClickJourney(PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Invite_WhenClickedTwice_TheLinkStaysAndIsNotTakenForAnotherPress()
    {
        await using Room room = await Room.OpenAsync(postgres, browser, who: Role.Administrator);
        IPage page = room.Administrator.Page;
        await page.SetViewportSizeAsync(1280, 900);
        await room.Administrator.GoAsync("/people");
        await page.GetByRole(AriaRole.Button, new() { Name = "Invite somebody" }).ClickAsync();
        ILocator make = page.GetByRole(AriaRole.Button, new() { Name = "Make the link" });
        await make.ScrollIntoViewIfNeededAsync();
        LocatorBoundingBoxResult at = (await make.BoundingBoxAsync())!;
        (float x, float y) = (at.X + (at.Width / 2), at.Y + (at.Height / 2));

        // The second click comes when the answer is there: another button may stand in the first one's place by then.
        await page.Mouse.ClickAsync(x, y);
        await Expect(page.Locator("#invite-link")).ToHaveValueAsync(new Regex("/invite/"));
        foreach (string other in new[] { "Invite another", "Done" })
        {
            LocatorBoundingBoxResult there = (await page.GetByRole(AriaRole.Button, new() { Name = other }).BoundingBoxAsync())!;
            await page.Mouse.MoveAsync(there.X + (there.Width / 2), there.Y + (there.Height / 2));
            await page.Mouse.DownAsync(new() { ClickCount = 2 });
            await page.Mouse.UpAsync(new() { ClickCount = 2 });
        }

        await Expect(page.Locator("#invite-link")).ToHaveValueAsync(new Regex("/invite/"));
        await page.GetByRole(AriaRole.Button, new() { Name = "Done" }).ClickAsync();
        await Expect(page.Locator("#invite-link")).ToHaveCountAsync(0);
        Assert.Empty(room.Administrator.Faults);
    }
}
