using System.Security.Claims;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Components;

/// <summary>The layout's parts around a page, and the page that stands in for a refused one.</summary>
public sealed class LayoutPartsTests : ShellTest
{
    [Theory]
    [InlineData(429, "Too many tries", "Wait a minute, then try again.")]
    [InlineData(400, "This form was not taken", "Open the page again and enter it once more.")]
    [InlineData(413, "This could not be done", "The server refused the request with the code 413. Nothing was changed.")]
    public void Show_WhenARequestWasRefused_SaysWhyAndWhatToDo(int code, string heading, string sentence)
    {
        IRenderedComponent<StatusPage> page = Ui.Render<StatusPage>(p => p.Add(c => c.Code, code));

        Assert.Equal(heading, page.Find("h1").TextContent);
        Assert.EndsWith(sentence, page.Find("h1 + p").TextContent, StringComparison.Ordinal);
        Assert.Equal("/", page.Find("a").GetAttribute("href"));
    }

    [Fact]
    public async Task Scope_WhenThePersonIsKnown_IsFilledBeforeAnythingBelowRenders()
    {
        TaskCompletionSource<AuthenticationState> known = new();
        List<LengthUnit> seen = [];
        IRenderedComponent<DisplayScope> scope = Scope(known.Task, seen);
        Assert.Empty(seen);

        ClaimsIdentity reads = new([new Claim(DisplayClaims.LengthUnit, nameof(LengthUnit.Yards)), new Claim(DisplayClaims.Theme, nameof(Theme.Dark))]);
        await scope.InvokeAsync(() => known.SetResult(new AuthenticationState(new ClaimsPrincipal(reads))));

        scope.WaitForAssertion(() => Assert.Equal([LengthUnit.Yards], seen));
        Assert.Equal(Theme.Dark, Display.Theme);
    }

    [Fact]
    public void Scope_WhenAPersonChoseNoUnit_TheGuildsHolds()
    {
        Ui.Services.GetRequiredService<GuildDefaults>().Set(new() { Name = "Harbour Yarn Guild", TimeZone = "Europe/London", Culture = "en-GB", LengthUnit = LengthUnit.Yards });
        List<LengthUnit> seen = [];

        Scope(Task.FromResult(new AuthenticationState(new ClaimsPrincipal(new ClaimsIdentity()))), seen);

        Assert.Equal([LengthUnit.Yards], seen);
    }

    [Fact]
    public void Heading_WhenThePageIsAnother_TakesTheCursorAndElseLeavesIt()
    {
        IRenderedComponent<HeadingFocus> focus = Ui.Render<HeadingFocus>(p => p.Add(c => c.Page, typeof(StatusPage)));
        focus.Render(p => p.Add(c => c.Page, typeof(StatusPage)));
        Ui.JSInterop.VerifyInvoke("guildStash.focusHeading", 1);

        focus.Render(p => p.Add(c => c.Page, typeof(MorePage)));
        Ui.JSInterop.VerifyInvoke("guildStash.focusHeading", 2);
    }

    [Fact]
    public void Mark_WhenRenderedAgain_MarksTheDocumentOnce()
    {
        IRenderedComponent<InteractiveMark> mark = Ui.Render<InteractiveMark>();
        mark.Render();

        Ui.JSInterop.VerifyInvoke("guildStash.markInteractive", 1);
    }

    /// <summary>A scope whose content notes the unit that it would show.</summary>
    private IRenderedComponent<DisplayScope> Scope(Task<AuthenticationState> person, List<LengthUnit> seen) =>
        Ui.Render<DisplayScope>(p => p.AddCascadingValue(person).Add(c => c.ChildContent, _ => seen.Add(Display.Unit)));
}
