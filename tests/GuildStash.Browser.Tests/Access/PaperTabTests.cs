using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Access;

/// <summary>A large paper opens in a tab of its own, which says what is being made until the paper is there.</summary>
[Collection(DemoCollection.Name)]
public sealed class PaperTabTests(DemoSite demo)
{
    [Fact]
    public async Task Click_WhenThereAreManyLabels_TheNewTabSaysThatTheyAreBeingMade()
    {
        await using Visitor visitor = await demo.SignInAsync(Role.Coordinator);
        TaskCompletionSource seen = new();
        string asked = "";
        await visitor.Page.Context.RouteAsync("**/print/bin-labels.pdf*", async route =>
        {
            asked = route.Request.Url;
            await seen.Task;

            // A window of this kind shows no PDF but fetches it to disk, and the tab would stay as it is.
            await route.FulfillAsync(new() { ContentType = "text/html", Body = "<title>Labels</title>the labels" });
        });
        await visitor.GoAsync("/print");

        IPage tab = await visitor.Page.Context.RunAndWaitForPageAsync(() => visitor.Page.GetByRole(AriaRole.Link, new() { Name = "Open labels for all bins" }).ClickAsync());

        await Expect(tab.GetByRole(AriaRole.Status)).ToContainTextAsync("labels on");
        await Expect(tab.GetByRole(AriaRole.Status)).ToContainTextAsync("are being made. They open here when they are ready.");
        seen.SetResult();
        await Expect(tab.GetByText("the labels")).ToBeVisibleAsync();
        Assert.Contains("/print/bin-labels.pdf?", asked, StringComparison.Ordinal);
        Assert.Empty(visitor.Faults);
    }
}
