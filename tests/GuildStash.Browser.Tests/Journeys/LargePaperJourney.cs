using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>Many labels take seconds: the print room says how many sheets they are, and their tab what is being made.</summary>
[Collection(DemoCollection.Name)]
public sealed class LargePaperJourney(DemoSite demo)
{
    [Fact]
    public async Task Open_WhenManyLabelsAreMade_TheirTabSaysSoUntilTheyAreThere()
    {
        await using Visitor volunteer = await demo.SignInAsync(Role.Volunteer);
        IPage page = volunteer.Page;
        TaskCompletionSource made = new();
        await page.Context.RouteAsync("**/print/bin-labels.pdf?*", async route =>
        {
            await made.Task;
            await route.FulfillAsync(new() { ContentType = "text/html", Body = "<h1>The labels</h1>" });
        });
        await volunteer.GoAsync("/print");
        await Expect(page.GetByText(new Regex(@"^\d+ labels on \d+ sheets")).First).ToBeVisibleAsync();

        IPage tab = await page.RunAndWaitForPopupAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "Open labels for all bins" }).ClickAsync());

        await Expect(tab.GetByRole(AriaRole.Status)).ToHaveTextAsync(new Regex(@"^\d+ labels on \d+ sheets are being made\. They open here when they are ready\.$"));
        Assert.Equal("Open labels for all bins", await tab.TitleAsync());
        made.SetResult();
        await Expect(tab.GetByRole(AriaRole.Heading)).ToHaveTextAsync("The labels");
        Assert.Equal(0, await tab.GetByRole(AriaRole.Status).CountAsync());
        Assert.Empty(volunteer.Faults);
    }
}
