using Bunit;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Projects;

/// <summary>Projects as members read and coordinators write them, on a real database.</summary>
public sealed class ProjectPagesTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Start_WhenFilledIn_LeadsToTheProject()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<EditProjectPage> page = Open<EditProjectPage>("/projects/new");

        await page.OnAsync("#project", e => e.Submit());
        Says(page, "#name-error", "This is needed. Fill it in.");
        await page.OnAsync("#name", e => e.Input("Tiny hats"));
        await page.OnAsync("input[value=no-mothball]", e => e.Change(true));
        await page.OnAsync("input[value=soft-only]", e => e.Change(true));
        await page.OnAsync("input[value=soft-only]", e => e.Change(false));
        page.WaitForAssertion(() => Assert.Contains(page.FindAll(".caution-line"), p => p.TextContent.Contains("no compliance is claimed", StringComparison.Ordinal)), RoomPages.Patience);
        await PressAsync(page, "Add a piece");
        await page.OnAsync("#piece-0-wanted", e => e.Input("12"));
        await page.OnAsync("#piece-0-name", e => e.Input("Hat"));
        await PressAsync(page, "Add a piece");
        await page.OnAsync("#piece-1-name", e => e.Input("Mittens"));
        await PressAsync(page, "Add a piece");
        await page.OnAsync("#project", e => e.Submit());
        Says(page, "#piece-1-wanted-error", "Say how many of these are wanted: a whole number from 1 to 8,000.");
        Assert.Empty(page.FindAll("#piece-2-name"));
        await PressAsync(page, "Take out piece 2");
        await page.OnAsync("#project", e => e.Submit());

        page.WaitForAssertion(() => Assert.Matches("/projects/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        Project project = await room.AskAsync(db => db.Projects.Include(p => p.Pieces).SingleAsync(Cancellation));
        Assert.Equal(("Tiny hats", RecipientRules.InfantOrHospital, 12, "Hat"), (project.Name, project.Rules, project.Pieces.Single().Wanted, project.Pieces.Single().Name));
    }

    [Fact]
    public async Task Start_WhenRefusedBeforeAPieceWasTyped_KeepsARowForIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<EditProjectPage> page = Open<EditProjectPage>("/projects/new");

        await page.OnAsync("#project", e => e.Submit());

        Says(page, "#name-error", "This is needed. Fill it in.");
        await page.OnAsync("#piece-0-name", e => e.Input("Hat"));
    }

    [Fact]
    public async Task Read_WhenAMemberOpensIt_ShowsRulesCautionsAndWhereToGo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await room.ProjectAsync("Tiny hats", RecipientRules.InfantOrHospital | RecipientRules.WashableOnly);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 20, project: id, by: room.OtherMember);
        Enter(room, room.Member);

        IRenderedComponent<ProjectPage> page = Open<ProjectPage>($"/projects/{id}", p => p.Add(c => c.Id, id));

        Says(page, ".rules li", "Machine-washable only For infants or a hospital: never any mothball smell");
        Assert.Equal([$"/plans/new?project={id}", $"/inventory/lots?status=available&project={id}", $"/holds/new?project={id}"], page.FindAll(".actions a").Select(a => a.GetAttribute("href")));
        Assert.Equal(3, page.FindAll(".note p").Count);
        Says(page, "td[data-label=reserved]", "20 g");
        Assert.DoesNotContain("Otto Other", page.Markup, StringComparison.Ordinal);
        Assert.DoesNotContain(page.FindAll("button"), b => b.TextContent.Contains("Close", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Close_WhenTheCoordinatorClosesIt_NothingMoreIsReservedAndItOpensAgain()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await room.ProjectAsync("Tiny hats");
        Enter(room, room.Coordinator);
        IRenderedComponent<ProjectPage> page = Open<ProjectPage>($"/projects/{id}", p => p.Add(c => c.Id, id));

        await PressAsync(page, "Close this project");

        Says(page, "This project is closed: nothing more is reserved for it.");
        Assert.Equal([$"/projects/{id}/edit"], page.FindAll(".actions a").Select(a => a.GetAttribute("href")));
        IRenderedComponent<ProjectsPage> list = Open<ProjectsPage>("/projects");
        Says(list, "No open project");
        IRenderedComponent<ProjectsPage> all = Open<ProjectsPage>("/projects?closed=true");
        Says(all, ".status", "closed");
        await PressAsync(page, "Open it again");
        page.WaitForAssertion(() => Assert.Equal(4, page.FindAll(".actions a").Count), RoomPages.Patience);
    }

    [Fact]
    public async Task Change_WhenSomebodyElseWasFaster_SaysSoAndKeepsWhatWasTyped()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await room.ProjectAsync("Tiny hats");
        Enter(room, room.Coordinator);
        IRenderedComponent<EditProjectPage> page = Open<EditProjectPage>($"/projects/{id}/edit", p => p.Add(c => c.Id, id));
        await page.OnAsync("#name", e => e.Input("Tinier hats"));
        await room.OwnerSqlAsync($"update project set version = version + 1 where id = {id}");

        await page.OnAsync("#project", e => e.Submit());

        Says(page, "Somebody else changed this project meanwhile.");
        Assert.Equal("Tinier hats", page.Find("#name").GetAttribute("value"));
    }

    [Fact]
    public async Task Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await room.ProjectAsync("Tiny hats", RecipientRules.InfantOrHospital | RecipientRules.SoftOnly);
        await room.HoldAsync(await room.LotAsync(150), 20, project: id);
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        Enter(room, room.Coordinator);

        IRenderedComponent<ProjectsPage> list = Open<ProjectsPage>("/projects");
        list.WaitForElement(".project-list", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(list.Markup));
        IRenderedComponent<ProjectPage> one = Open<ProjectPage>($"/projects/{id}", p => p.Add(c => c.Id, id));
        one.WaitForElement(".lot-line", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(one.Markup));
        IRenderedComponent<EditProjectPage> form = Open<EditProjectPage>($"/projects/{id}/edit", p => p.Add(c => c.Id, id));
        form.WaitForElement("#name", RoomPages.Patience);
        await PressAsync(form, form.FindAll("button").First(b => b.GetAttribute("type") == "button").TextContent.Trim());
        Assert.Empty(UntranslatedText.Find(form.Markup));
    }

    [Fact]
    public async Task Type_WhenThePageIsLoadedAgain_BringsTheProjectBackUntilItIsStarted()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<EditProjectPage> page = Kept();
        await page.OnAsync("#name", e => e.Input("Tiny hats"));
        await page.OnAsync("input[value=soft-only]", e => e.Change(true));
        await page.OnAsync("#piece-0-wanted", e => e.Input("12"));
        await page.OnAsync("#piece-0-name", e => e.Input("Hat"));
        await PressAsync(page, "Add a piece");
        await page.OnAsync("#piece-1-name", e => e.Input("Mittens"));
        await PressAsync(page, "Take out piece 2");
        bool safe = false;
        await page.InvokeAsync(async () => safe = await page.FindComponent<DraftKeeper<ProjectForm>>().Instance.SaveAsync());
        Assert.True(safe);

        IRenderedComponent<EditProjectPage> again = Kept();
        Says(again, "Continue your project from");
        Assert.Equal(["Tiny hats", "12", "Hat"], new[] { "#name", "#piece-0-wanted", "#piece-0-name" }.Select(field => again.Find(field).GetAttribute("value")));
        Assert.True(again.Find("input[value=soft-only]").HasAttribute("checked"));
        Says(again, "Taken out: Mittens.");
        await PressAsync(again, "Keep it and go on");
        await again.OnAsync("#project", e => e.Submit());

        again.WaitForAssertion(() => Assert.Matches("/projects/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        Assert.Equal(RecipientRules.SoftOnly, await room.AskAsync(db => db.Projects.Select(p => p.Rules).SingleAsync(Cancellation)));
        Assert.Equal(0, await room.AskAsync(db => db.Drafts.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Read_WhenItHasAPublicName_LinksItsOpenPage()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid open = await room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Hats", PublicName = "winter-hats" }, Cancellation));
        Guid hidden = await room.ProjectAsync("Scarves");
        Enter(room, room.Member);

        IRenderedComponent<ProjectPage> page = Open<ProjectPage>($"/projects/{open}", p => p.Add(c => c.Id, open));
        page.WaitForElement("a[href='/drives/winter-hats']", RoomPages.Patience);
        IRenderedComponent<ProjectPage> other = Open<ProjectPage>($"/projects/{hidden}", p => p.Add(c => c.Id, hidden));
        Says(other, "What it accepts");
        Assert.Empty(other.FindAll("a[href^='/drives/']"));
    }

    private IRenderedComponent<EditProjectPage> Kept()
    {
        IRenderedComponent<EditProjectPage> page = Open<EditProjectPage>("/projects/new");
        page.WaitForElement("[data-keeping]", RoomPages.Patience);
        return page;
    }
}
