using Bunit;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>The pages of plans on a real database; the test runs the search itself.</summary>
public sealed class PlanPagesTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private IRenderedComponent<PlanPage> Show(Guid plan) => Open<PlanPage>($"/plans/{plan}", p => p.Add(page => page.Id, plan));

    [Fact]
    public async Task New_WhenAProjectCanBePlanned_OneClickAsksForWhatItLacks()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.WantedAsync(await room.PieceAsync("Hat", 60), 7);
        Enter(room.Desk, room.Desk.Coordinator);
        IRenderedComponent<NewPlanPage> page = Open<NewPlanPage>("/plans/new");

        Says(page, "Hat · 7 still wanted");
        await page.OnAsync("#plan", form => form.Submit());

        page.WaitForAssertion(() => Assert.Matches("/plans/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        Plan plan = await room.Desk.AskAsync(db => db.Plans.SingleAsync(Cancellation));
        Assert.Equal((PlanPurpose.Drive, "Winter drive", PlanState.Waiting), (plan.Purpose, plan.Name, plan.State));
    }

    [Fact]
    public async Task New_WhenAMemberHasTwoEveningsAndWantsBlue_AsksForOneWithALimit()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        Guid hat = await room.PieceAsync("Hat", 60, piece => piece.Minutes = 120);
        await room.Desk.LotAsync(150);
        LotView red = await room.Desk.LotAsync(300, lot => lot with { ColourHex = "#b02020" });
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<NewPlanPage> page = Open<NewPlanPage>("/plans/new");

        Says(page, "None is chosen yet");
        await page.OnAsync("#add-piece", select => select.Change(hat.ToString()));
        await page.OnAsync(".asked input", number => number.Input("5"));
        await page.OnAsync("#family", select => select.Change("Blue"));
        await page.OnAsync("#minutesLimit", number => number.Input("5"));
        await page.OnAsync("#plan", form => form.Submit());
        page.WaitForAssertion(() => Assert.Matches("/plans/[0-9a-f-]{36}$", Navigation.Uri), RoomPages.Patience);
        Assert.True(await room.Runner.RunNextAsync(Cancellation));

        PlanView plan = await room.ReadAsync(await room.Desk.AskAsync(db => db.Plans.Select(p => p.Id).SingleAsync(Cancellation)));
        Assert.Equal((PlanPurpose.Member, 2, 5), (plan.Purpose, plan.Answer!.Count, plan.Answer.Wanted));
        Assert.DoesNotContain(plan.Answer.Assignments, yarn => yarn.Lot == red.Display);
        Assert.Contains(plan.Answer.Reasons, reason => reason.Rule == "minutes-limit");
    }

    [Fact]
    public async Task New_WhenAWantedPieceHasNoNeeds_SaysWhatToDoAndDoesNotOfferANumber()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (Guid project, _) = await room.WantedAsync(null, 4, "Toy");
        Enter(room.Desk, room.Desk.Coordinator);
        IRenderedComponent<NewPlanPage> page = Open<NewPlanPage>($"/plans/new?project={project}");

        Says(page, "nobody has said what yarn it takes; choose a line of the piece book in the project's form");
        Assert.Empty(page.FindAll(".asked input"));
        await page.OnAsync("#plan", form => form.Submit());
        Says(page, "No piece was asked for.");
    }

    [Fact]
    public async Task Plan_WhileItIsSought_FollowsByItselfAndCanBeStopped()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(150);
        AskedPlan asked = await room.AskAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 2 }] });
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<PlanPage> page = Show(asked.Id);
        Says(page, "It waits for its turn");

        Assert.True(await room.Runner.RunNextAsync(Cancellation));

        Says(page, "All 2 pieces can be made, from one lot.");
        Assert.Empty(page.FindAll(".standing .note"));
        Says(page, "As many pieces as can be");
        Assert.Equal(2, page.Find(".sub").TextContent.Split("For oneself").Length);
        Says(page, "2 points by priority – proven: no plan does better");
    }

    [Fact]
    public async Task Plan_WhenAccepted_ShowsItsKitsInsteadOfTheForm()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 2 }] });
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<PlanPage> page = Show(plan.Id);
        Says(page, lot.Display);
        Says(page, "chance that at least one of the pieces runs short");
        Says(page, "What stays of the opened lots 1 lot, ");

        await PressAsync(page, "Make 2 kits");

        Says(page, "K-");
        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll(".kits li").Count), RoomPages.Patience);
        Assert.Empty(page.FindAll("#accept-plan"));
    }

    [Fact]
    public async Task Kit_WhenItsPlanIsNotForMembers_NamesThePlanAndLeadsOnlyOthersThere()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(150);
        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 1 }] }, PlanPurpose.Room);
        Assert.True((await room.AcceptAsync(room.Desk.Coordinator, plan.Id)).IsOk);
        string kit = await room.Desk.AskAsync(db => db.Kits.Select(k => k.Number).SingleAsync(Cancellation));
        string link = $"a[href='/plans/{plan.Id}']";

        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<KitPage> members = Open<KitPage>($"/kits/{kit}", p => p.Add(k => k.Number, kit));
        Says(members, $"Plan {plan.Number}");
        Assert.Empty(members.FindAll(link));

        Person.SignIn(room.Desk.Coordinator, "coordinator");
        IRenderedComponent<KitPage> planners = Open<KitPage>($"/kits/{kit}", p => p.Add(k => k.Number, kit));
        Assert.Equal(plan.Number, Words([planners.WaitForElement(link, RoomPages.Patience)]));
    }

    [Fact]
    public async Task Plan_WhenTheRoomHasChanged_ShowsByLotWhatAndPlansAgain()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        PlanView plan = await room.PlanAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 2 }] });
        Enter(room.Desk, room.Desk.Member);
        IRenderedComponent<PlanPage> page = Show(plan.Id);
        Says(page, "Make 2 kits");
        await room.Desk.HoldAsync(lot, 140);

        await PressAsync(page, "Make 2 kits");
        Says(page, "Nothing was reserved, since the room has changed");
        Says(page, $"Lot {lot.Display}:");
        await PressAsync(page, "Plan again with what is there now");

        page.WaitForAssertion(() => Assert.DoesNotContain(plan.Id.ToString(), Navigation.Uri, StringComparison.Ordinal), RoomPages.Patience);
        Assert.Equal(2, await room.Desk.AskAsync(db => db.Plans.CountAsync(Cancellation)));
        Assert.Equal(0, await room.Desk.AskAsync(db => db.Kits.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Plan_WhenNothingFits_NamesTheRuleAndWhatIsMissing()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(150, lot => lot with { MachineWashable = Domain.Intake.Tristate.No });
        (Guid project, _) = await room.WantedAsync(await room.PieceAsync("Hat", 60), 2, rules: RecipientRules.WashableOnly);
        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { Projects = [project] }, PlanPurpose.Drive);
        Enter(room.Desk, room.Desk.Coordinator);
        IRenderedComponent<PlanPage> page = Show(plan.Id);

        Says(page, "None of the 2 pieces can be made. Below is why.");
        Says(page, "\"Machine-washable only\" removes 1");
        Says(page, "For 2 more: Hat, Body: 132 yd of aran");
        Assert.Empty(page.FindAll("#accept-plan"));
    }

    [Fact]
    public async Task Plan_WhenItFailed_SaysWhyInTheReadersLanguageAndUnit()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        Guid hat = await room.PieceAsync("Hat", 60);
        AskedPlan asked = await room.AskAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = hat, Wanted = 1 }] });
        await room.Desk.OwnerSqlAsync($"update piece_part set metres_low = 12000, metres_likely = 12000, metres_safe = 12000 where piece_id = {hat}");
        Assert.True(await room.Runner.RunNextAsync(Cancellation));
        Enter(room.Desk, room.Desk.Member);
        Says(Show(asked.Id), ".standing", "A part that takes 13,123 yd: more than 0 and at most 10,936 yd is allowed. Check the number and its unit.");
        Assert.Equal("A part that takes 12000 m: more than 0 and at most 10000 m is allowed. Check the number and its unit.", Assert.Single((await room.ReadAsync(asked.Id)).Trouble).ToString());

        Read(PseudoLanguage.CultureName);
        IRenderedComponent<PlanPage> page = Show(asked.Id);
        page.WaitForAssertion(() => Assert.Empty(UntranslatedText.Find(page.Find(".standing").OuterHtml)), RoomPages.Patience);
        Assert.NotEmpty(page.FindAll(".standing .note p"));
    }

    [Fact]
    public async Task Plan_WhenItFailedBeforePhrasesWereKept_ShowsItsSentence()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        AskedPlan asked = await room.AskAsync(room.Desk.Member, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 1 }] });
        await room.Desk.OwnerSqlAsync($"update plan set state = 'Failed', trouble = '{{0}} of [\"Hat\"] can''t be.' where id = {asked.Id}");
        Enter(room.Desk, room.Desk.Member);
        Says(Show(asked.Id), ".standing", "{0} of [\"Hat\"] can't be.");
    }

    [Fact]
    public async Task Plan_WhenOpenProjectsLackNothing_SaysSoAndLeadsToTheWantedYarn()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { AllProjects = true }, PlanPurpose.Wanted);
        Enter(room.Desk, room.Desk.Coordinator);
        IRenderedComponent<PlanPage> page = Show(plan.Id);
        Says(page, ".empty h2", "Nothing is lacking");
        Assert.NotEmpty(page.FindAll(".empty a[href='/wanted']"));
        Says(Open<PlansPage>("/plans"), ".made", "");
    }

    [Fact]
    public async Task List_WhenThereIsNone_SaysWhatComesFirst()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.PlanAsync(room.Desk.OtherMember, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 2 }] });
        Enter(room.Desk, room.Desk.Member);
        Says(Open<PlansPage>("/plans"), "No plan yet");
    }

    [Fact]
    public async Task List_WhenThereAreSome_TellsHowManyAndWhere()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(60);
        await room.PlanAsync(room.Desk.OtherMember, new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 2 }] });
        Enter(room.Desk, room.Desk.Volunteer);
        IRenderedComponent<PlansPage> page = Open<PlansPage>("/plans");

        Says(page, ".made", "1 of 2 pieces");
        Says(page, ".state", "done");
    }

    [Fact]
    public async Task WhatIf_WhenARuleIsLifted_ThePageNamesItAndOffersNoKits()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(150, lot => lot with { MachineWashable = Domain.Intake.Tristate.No });
        (Guid project, _) = await room.WantedAsync(await room.PieceAsync("Hat", 60), 2, rules: RecipientRules.WashableOnly);
        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { Projects = [project] }, PlanPurpose.Drive);
        AskedPlan asked = await room.Guild.DoAsync<AskPlan, AskedPlan>(u => u.WhatIfAsync(room.Desk.Coordinator, plan.Id, new("Hat", Lift: RecipientRules.WashableOnly), Cancellation));
        Assert.True(await room.Runner.RunNextAsync(Cancellation));
        Enter(room.Desk, room.Desk.Coordinator);

        IRenderedComponent<PlanPage> page = Show(asked.Id);

        Says(page, "What if the rule \"Machine-washable only\" were not asked of Hat?");
        Says(page, "This plan only shows what the rule costs. It can't become kits: yarn is held only by the recipient's whole list.");
        Assert.Empty(page.FindAll("#accept-plan"));
        Assert.DoesNotContain("mothball smell bars", Words(page.Nodes), StringComparison.Ordinal);
    }
}
