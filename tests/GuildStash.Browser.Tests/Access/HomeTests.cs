using System.Text.RegularExpressions;
using GuildStash.Browser.Tests.Support;
using GuildStash.Domain.People;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Access;

/// <summary>The start page of each role: what waits is there, and one click leads to the work.</summary>
[Collection(DemoCollection.Name)]
public sealed class HomeTests(DemoSite demo)
{
    public static TheoryData<Role, string, string, string> FirstLines => new()
    {
        { Role.Member, "Your yarn that is due or late", "/my-yarn", "My yarn" },
        { Role.Member, "Projects that look for hands", "/projects/", "Project" },
        { Role.Volunteer, "Bags that wait longest", "/sorting/", "Sorting D-" },
        { Role.Volunteer, "Leftovers to inspect", @"/hand-over\?tab=returns", "Hand-over" },

        // What waits may be a member's request, or a kit that nobody makes yet.
        { Role.Coordinator, "Requests to prepare", @"/(hand-over\?q=R|kits/K)-", "Hand-over|Kit" },
        { Role.Coordinator, "Yarn that is late", @"/hand-over\?tab=home&late=true&q=", "Hand-over" },
        { Role.Administrator, "Open invitations", "/people", "People" },
    };

    [Theory]
    [MemberData(nameof(FirstLines))]
    public async Task Click_WhenOnTheFirstLineOfAList_LeadsToItsWork(Role role, string list, string address, string heading)
    {
        IPage page = await HomeAsync(role);
        await page.GetByRole(AriaRole.Region, new() { Name = list }).GetByRole(AriaRole.Listitem).First.GetByRole(AriaRole.Link).ClickAsync();

        await Expect(page).ToHaveURLAsync(new Regex(address));
        await Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync(new Regex(heading));
    }

    [Fact]
    public async Task Open_WhenAMember_ShowsNothingOfTheRoomAndOfOthers()
    {
        IPage page = await HomeAsync(Role.Member);

        await Expect(page.GetByRole(AriaRole.Region, new() { Name = "Projects that look for hands" })).ToBeVisibleAsync();
        foreach (string list in (string[])["Bags that wait longest", "Requests to prepare", "Yarn that is late", "Open invitations"])
        {
            await Expect(page.GetByRole(AriaRole.Region, new() { Name = list })).ToHaveCountAsync(0);
        }
    }

    [Fact]
    public async Task SignOut_WhenInOneTab_LeavesTheOthersToo()
    {
        await using Visitor visitor = await demo.SignInAsync(Role.Member);
        IPage other = await visitor.Page.Context.NewPageAsync();
        await other.GotoAsync("/my-yarn");
        await other.WaitForFunctionAsync("() => document.documentElement.dataset.interactive === 'true'");
        await visitor.GoAsync("/");
        await visitor.Page.Locator("form[action='/account/sign-out'] button").First.DispatchEventAsync("click");

        await Expect(other).ToHaveURLAsync(new Regex("/account/sign-in"));
    }

    [Fact]
    public async Task Open_WhenNoPublicAddressIsSet_TellsTheAdministrator()
    {
        IPage page = await HomeAsync(Role.Administrator);

        await Expect(page.GetByRole(AriaRole.Note)).ToContainTextAsync("--public-url");
    }

    private async Task<IPage> HomeAsync(Role role)
    {
        Visitor visitor = demo.Of(role);
        await visitor.Page.SetViewportSizeAsync(1440, 900);
        await visitor.GoAsync("/");
        await visitor.SettledAsync();
        return visitor.Page;
    }
}
