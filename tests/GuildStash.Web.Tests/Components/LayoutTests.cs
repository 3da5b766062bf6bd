using System.Reflection;
using AngleSharp.Dom;
using Bunit;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.AspNetCore.Components;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Components;

public sealed class LayoutTests : ShellTest
{
    [Theory]
    [InlineData("member", "Inventory, Projects, My yarn, Plans, Measure")]
    [InlineData("volunteer", "Intake, Sorting, Bins, Inventory, Projects, Hand-over, My yarn, Kits, Second person, Plans, Measure, Print room")]
    [InlineData("coordinator", "Intake, Sorting, Bins, Inventory, Projects, Hand-over, My yarn, Kits, Second person, Plans, Measure, Print room, People, Settings")]
    [InlineData("administrator", "Intake, Sorting, Bins, Inventory, Projects, Hand-over, My yarn, Kits, Second person, Plans, Measure, Print room, People, Settings, Safe keeping")]
    public void Show_WhenSignedInWithARole_TheMenuHoldsItsStations(string role, string expected)
    {
        Person.SetAuthorized("ada@example.org").SetRoles(role);

        Assert.Equal(expected, string.Join(", ", Ui.Render<StationMenu>().FindAll("a > span:first-child").Select(link => link.TextContent)));
    }

    [Theory]
    [InlineData("member", "Inventory, Projects, My yarn, More")]
    [InlineData("coordinator", "Intake, Sorting, Bins, Inventory, More")]
    public void Show_WhenOnAPhone_FewWordsStandAtTheBottom(string role, string expected)
    {
        Person.SetAuthorized("ada@example.org").SetRoles(role);

        Assert.Equal(expected, string.Join(", ", Ui.Render<PhoneBar>().FindAll("a").Select(link => link.TextContent)));
    }

    [Fact]
    public void Show_WhenNobodyIsSignedIn_TheMenuIsEmptyAndOffersSignIn()
    {
        Assert.Empty(Ui.Render<StationMenu>().FindAll("a"));
        Assert.Equal("/account/sign-in", Ui.Render<PersonCorner>().Find("a").GetAttribute("href"));
    }

    [Fact]
    public void Show_WhenAtAStation_ItIsMarkedAsTheCurrentPage()
    {
        Person.SetAuthorized("ada@example.org").SetRoles("volunteer");
        Navigation.NavigateTo("/sorting/D-2026-0042");

        IElement current = Ui.Render<StationMenu>().Find("[aria-current=page]");

        Assert.Equal("/sorting", current.GetAttribute("href"));
    }

    [Fact]
    public void Show_WhenSomethingWaits_CountsStandAtTheirStationsAndFollowNavigation()
    {
        Counts counts = new() { Now = new WaitingCounts(3, 0, null, 6, 4, 1) };
        Ui.Services.AddSingleton<IWaitingCounts>(counts);
        Person.SetAuthorized("ada@example.org").SetRoles("volunteer");
        IRenderedComponent<StationMenu> menu = Ui.Render<StationMenu>();
        Assert.Equal(["3", "6", "4", "1"], menu.FindAll(".waiting").Select(count => count.FirstChild!.TextContent));

        counts.Now = counts.Now with { Intake = 2 };
        Navigation.NavigateTo("/bins");

        menu.WaitForAssertion(() => Assert.Equal("2", menu.Find(".waiting").FirstChild!.TextContent));
    }

    [Fact]
    public void SignOut_WhenOffered_IsAFormPost()
    {
        Person.SetAuthorized("ada@example.org").SetClaims(new System.Security.Claims.Claim(DisplayClaims.Name, "Ada"));
        IRenderedComponent<PersonCorner> corner = Ui.Render<PersonCorner>();

        Assert.Equal("Ada", corner.Find(".person-name").TextContent);
        Assert.Equal(("post", "/account/sign-out"), (corner.Find("form").GetAttribute("method"), corner.Find("form").GetAttribute("action")));
    }

    [Fact]
    public void Recover_WhenAPageFails_OffersToTryAgainAndDoes()
    {
        bool fails = true;
        RenderFragment page = builder =>
        {
            if (fails)
            {
                throw new InvalidOperationException("The page's own fault.");
            }

            builder.AddContent(0, "all is well");
        };
        IRenderedComponent<BodyGuard> guard = Ui.Render<BodyGuard>(p => p.Add(c => c.ChildContent, page));
        Assert.Equal("This page stopped working", guard.Find("[role=alert] h1").TextContent);

        fails = false;
        guard.Find("button").Click();

        Assert.Contains("all is well", guard.Markup, StringComparison.Ordinal);
    }

    [Fact]
    public void Show_WhenPseudoLanguage_TheShellHasNoUntranslatedText()
    {
        Read(PseudoLanguage.CultureName);
        Person.SetAuthorized("ada@example.org").SetRoles("administrator");
        Ui.Services.AddSingleton<IWaitingCounts>(new Counts { Now = new WaitingCounts(3, 2, 1, 6, 4, 1) });
        string[] pages =
        [
            Ui.Render<MainLayout>(p => p.Add(c => c.Body, builder => builder.AddContent(0, "12"))).Markup,
            Ui.Render<PlainLayout>(p => p.Add(c => c.Body, builder => builder.AddContent(0, "12"))).Markup,
            Ui.Render<ConnectionBanner>().Markup,
            Ui.Render<NotFoundPage>().Markup,
            Ui.Render<NotAllowed>().Markup,
            Ui.Render<ErrorPage>().Markup,
            Ui.Render<MorePage>().Markup,
        ];

        Assert.All(pages, html => Assert.Contains("⟦", html, StringComparison.Ordinal));
        Assert.Empty(pages.SelectMany(UntranslatedText.Find));
    }

    /// <summary>Pages with a blank in their address belong to a thing; the others are looked for here.</summary>
    [Fact]
    public void More_ListsEveryPageThatTheRoleMayOpen()
    {
        string[] elsewhere =
        [
            "/", "/more", "/error", "/gallery", "/not-allowed", "/not-found", "/setup", "/status/404", "/wanted/open", "/account/sign-in", "/hand-over/now", "/guide/glossary",
            "/kits/new", "/pieces/new", "/projects/new", "/pieces/sizes/change", "/settings/weight-classes/change",
        ];
        string[] pages = [.. typeof(MorePage).Assembly.GetTypes().SelectMany(type => type.GetCustomAttributes<RouteAttribute>()).Select(route => route.Template).Where(path => !path.Contains('{', StringComparison.Ordinal))];

        Person.SetAuthorized("ada@example.org").SetRoles("administrator");
        string[] all = [.. Ui.Render<MorePage>().FindAll("a").Select(link => link.GetAttribute("href")!)];
        Assert.Empty(pages.Except(elsewhere).Except(all));

        Person.SetRoles("member");
        IRenderedComponent<MorePage> member = Ui.Render<MorePage>();
        string[] theirs = [.. member.FindAll("a").Select(link => link.GetAttribute("href")!)];
        Assert.Contains("/wanted", theirs);
        Assert.DoesNotContain(theirs, href => href is "/freezer" or "/counts" or "/scales" or "/safe-keeping/donors");
        Assert.DoesNotContain("Safe keeping", member.FindAll("h2").Select(head => head.TextContent));
    }

    [Fact]
    public void Show_WhenAPageIsNotForTheRole_SaysSoToMembersAndSendsVisitorsToSignIn()
    {
        Navigation.NavigateTo("/people?page=2");
        Ui.Render<NotAllowed>();
        Assert.EndsWith("/account/sign-in?returnUrl=%2Fpeople%3Fpage%3D2", Navigation.Uri, StringComparison.Ordinal);

        Person.SetAuthorized("ada@example.org").SetRoles("member");
        Assert.Equal("This page is not for your role", Ui.Render<NotAllowed>().Find("h1").TextContent);
    }

    private sealed class Counts : IWaitingCounts
    {
        public required WaitingCounts Now { get; set; }

        public Task<WaitingCounts> ReadAsync(CancellationToken cancellationToken) => Task.FromResult(Now);
    }
}
