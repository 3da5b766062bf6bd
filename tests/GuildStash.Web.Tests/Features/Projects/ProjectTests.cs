using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Projects;

/// <summary>Charity projects: what is entered, what is refused, and what the figures say.</summary>
public sealed class ProjectTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static DateOnly Today => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(DateTimeOffset.UtcNow, TimeZoneInfo.FindSystemTimeZoneById("Europe/London")).DateTime);

    private static ProjectInput Hats => new()
    {
        Name = " Winter hats ",
        Recipient = "Harbour shelter",
        Description = "Warm hats for grown-ups.",
        Rules = RecipientRules.WashableOnly | RecipientRules.SmokeFree,
        Deadline = Today.AddDays(30),
        Pieces = [new PieceInput("Hat", 40, "any colour"), new PieceInput("Scarf", 10, null)],
    };

    [Fact]
    public async Task Create_WhenFilledIn_KeepsEverything()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        ProjectView project = await OneAsync(room, await CreateAsync(room, Hats));

        Assert.Equal(("Winter hats", "Harbour shelter", "Warm hats for grown-ups.", Hats.Rules, Today.AddDays(30)),
            (project.Name, project.Recipient, project.Description, project.Rules, project.Deadline));
        Assert.Equal([("Hat", 40, "any colour", 1), ("Scarf", 10, "", 1)], project.Pieces.Select(p => (p.Name, p.Wanted, p.Notes, p.Priority)));
        Assert.Equal((false, false, 0L, 0L, 0L), (project.IsClosed, project.IsLate, project.HeldMg, project.AtHomeMg, project.UsedMg));
    }

    [Fact]
    public async Task Edit_WhenPiecesAreAddedRemovedAndMoved_KeepsTheNewOnesInOrder()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await CreateAsync(room, Hats);

        Assert.True((await EditAsync(room, id, 0, Hats with { Rules = RecipientRules.None, Deadline = null, Pieces = [new("Mittens", 5, ""), new("Hat", 41, "no black")] })).IsOk);
        Assert.True((await EditAsync(room, id, 1, Hats with { Pieces = [new("Hat", 42, "")] })).IsOk);

        ProjectView project = await OneAsync(room, id);
        Assert.Equal([("Hat", 42, "")], project.Pieces.Select(p => (p.Name, p.Wanted, p.Notes)));
        Assert.Equal(2, project.Version);
        Assert.Equal(1, await room.AskAsync(db => db.WantedPieces.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Invalid_WhenSomebodyElseChangedItMeanwhile_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await CreateAsync(room, Hats);
        Assert.True((await EditAsync(room, id, 0, Hats with { Name = "First" })).IsOk);

        Refuse.Rule("changed-meanwhile", await EditAsync(room, id, 0, Hats with { Name = "Second" }));
        Outcome<bool>[] race = await Task.WhenAll(Enumerable.Range(0, 5).Select(i => Task.Run(() => EditAsync(room, id, 1, Hats with { Name = $"Race {i}" }))));
        Assert.Single(race, o => o.IsOk);
        Assert.All(race.Where(o => !o.IsOk), o => Refuse.Rule("changed-meanwhile", o));
        Refuse.Rule("not-found", await EditAsync(room, Guid.NewGuid(), 0, Hats));
    }

    [Fact]
    public async Task Invalid_WhenAFieldCanNotBe_NamesItAndSavesNothing()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);

        async Task RefusedAt(string field, ProjectInput input) => Assert.Equal(field, Refuse.Only(await TryCreateAsync(room, input)).Field);

        await RefusedAt("name", Hats with { Name = " " });
        await RefusedAt("name", Hats with { Name = new string('x', 151) });
        await RefusedAt("recipient", Hats with { Recipient = new string('x', 201) });
        await RefusedAt("description", Hats with { Description = new string('x', 10_000) });
        await RefusedAt("rules", Hats with { Rules = (RecipientRules)(1 << 20) });
        await RefusedAt("deadline", Hats with { Deadline = Today.AddDays(-1) });
        await RefusedAt("deadline", Hats with { Deadline = DateOnly.MaxValue });
        await RefusedAt("pieces", Hats with { Pieces = [.. Enumerable.Repeat(new PieceInput("Hat", 1, ""), 51)] });
        await RefusedAt("pieces[1].wanted", Hats with { Pieces = [new("Hat", 1, ""), new("Scarf", 0, "")] });
        await RefusedAt("pieces[0].wanted", Hats with { Pieces = [new("Hat", 8_001, "")] });
        await RefusedAt("pieces[0].name", Hats with { Pieces = [new("", 1, "")] });
        await RefusedAt("pieces[0].notes", Hats with { Pieces = [new("Hat", 1, new string('x', 501))] });
        Assert.Equal(0, await room.AskAsync(db => db.Projects.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Edit_WhenTheDeadlineIsPast_ItMayStayButNotBecomeAnotherPastDay()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await CreateAsync(room, Hats);
        await room.OwnerSqlAsync($"update project set deadline = {Today.AddDays(-7)} where id = {id}");
        Assert.True((await OneAsync(room, id)).IsLate);

        Refuse.Rule("invalid-value", "deadline", await EditAsync(room, id, 0, Hats with { Deadline = Today.AddDays(-6) }));
        Assert.True((await EditAsync(room, id, 0, Hats with { Deadline = Today.AddDays(-7), Name = "Late hats" })).IsOk);
        await CloseAsync(room, id, true);
        Assert.False((await OneAsync(room, id)).IsLate);
    }

    [Fact]
    public async Task Close_WhenAskedTwice_IsClosedOnceAndOpensAgain()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await CreateAsync(room, Hats);

        await CloseAsync(room, id, true);
        DateTimeOffset? at = await room.AskAsync(db => db.Projects.Select(p => p.ClosedAt).SingleAsync(Cancellation));
        await CloseAsync(room, id, true);

        Assert.Equal(at, await room.AskAsync(db => db.Projects.Select(p => p.ClosedAt).SingleAsync(Cancellation)));
        Assert.Equal((0, 1), ((await ListAsync(room, false)).Total, (await ListAsync(room, true)).Total));
        await CloseAsync(room, id, false);
        Assert.Equal(1, (await ListAsync(room, false)).Total);
        Refuse.Rule("not-found", await room.Guild.UseAsync<CloseProject, Outcome<bool>>(u => u.RunAsync(room.Coordinator, Guid.NewGuid(), true, Cancellation)));
    }

    [Fact]
    public async Task List_WhenThereAreSeveral_ShowsTheNearestDeadlineFirstAndThoseWithoutLast()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        await CreateAsync(room, Hats with { Name = "No day", Deadline = null });
        await CreateAsync(room, Hats with { Name = "Later", Deadline = Today.AddDays(60) });
        await CreateAsync(room, Hats with { Name = "Soon", Deadline = Today.AddDays(6) });
        await CloseAsync(room, await CreateAsync(room, Hats with { Name = "Done", Deadline = Today }), true);

        Assert.Equal(["Soon", "Later", "No day", "Done"], (await ListAsync(room, true)).Items.Select(p => p.Name));
        List<ProjectChoice> choices = await room.Guild.DoAsync<ProjectReader, List<ProjectChoice>>(u => u.ChoicesAsync(room.Member, Cancellation));
        Assert.Equal(["Later", "No day", "Soon"], choices.Select(c => c.Name));
    }

    [Fact]
    public async Task Figures_WhenYarnIsHeldTakenAndUsed_AddUpPerLotAndHidePeopleFromMembers()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid id = await CreateAsync(room, Hats with { Rules = RecipientRules.None });
        LotView one = await room.LotAsync(200);
        LotView two = await room.LotAsync(100);
        await room.HoldAsync(one, 10, project: id);
        PlacedHold lapsed = await room.HoldAsync(one, 7, project: id);
        await room.RunOutAsync(lapsed.Id);
        HandedOver used = await room.TakenHomeAsync(one, 30, id);
        await room.Guild.DoAsync<FinishCheckout, bool>(u => u.RunAsync(room.Member, used.Id, Cancellation));
        await room.TakenHomeAsync(two, 20, id);
        await room.TakenHomeAsync(two, 5);

        ProjectView project = await OneAsync(room, id);
        Assert.Equal((10_000, 20_000, 30_000), (project.HeldMg, project.AtHomeMg, project.UsedMg));

        PageOf<ProjectYarn> yarn = await YarnAsync(room, room.Volunteer, id);
        Assert.Equal([(two.Code, 0L, 20_000L, 0L), (one.Code, 10_000L, 0L, 30_000L)], yarn.Items.Select(y => (y.Lot.Code, y.HeldMg, y.AtHomeMg, y.UsedMg)));
        Assert.Equal(["Mia Member"], yarn.Items[0].People);
        Assert.All((await YarnAsync(room, room.OtherMember, id)).Items, y => Assert.Empty(y.People));
    }

    [Theory]
    [InlineData(RecipientRules.InfantOrHospital, true)]
    [InlineData(RecipientRules.InfantOrHospital | RecipientRules.SoftOnly, true)]
    [InlineData(RecipientRules.SoftOnly, false)]
    [InlineData(RecipientRules.None, false)]
    public void Caution_WhenForInfantsOrAHospital_NamesDrawstringsAndClaimsNothing(RecipientRules rules, bool cautions)
    {
        IReadOnlyList<Phrase> words = ProjectCautions.For(rules);

        Assert.Equal(cautions, words.Any(w => w.Text.Contains("drawstrings", StringComparison.Ordinal)));
        Assert.Equal(cautions, words.Any(w => w.Text.Contains("no compliance is claimed", StringComparison.Ordinal)));
    }

    private static Task<Outcome<Guid>> TryCreateAsync(DeskRoom room, ProjectInput input) =>
        room.Guild.UseAsync<CreateProject, Outcome<Guid>>(u => u.RunAsync(room.Coordinator, input, Cancellation));

    private static Task<Guid> CreateAsync(DeskRoom room, ProjectInput input) =>
        room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, input, Cancellation));

    private static Task<Outcome<bool>> EditAsync(DeskRoom room, Guid id, int version, ProjectInput input) =>
        room.Guild.UseAsync<EditProject, Outcome<bool>>(u => u.RunAsync(room.Coordinator, id, version, input, Cancellation));

    private static Task<bool> CloseAsync(DeskRoom room, Guid id, bool close) =>
        room.Guild.DoAsync<CloseProject, bool>(u => u.RunAsync(room.Coordinator, id, close, Cancellation));

    private static Task<ProjectView> OneAsync(DeskRoom room, Guid id) =>
        room.Guild.DoAsync<ProjectReader, ProjectView>(u => u.OneAsync(room.Member, id, Cancellation));

    private static Task<PageOf<ProjectView>> ListAsync(DeskRoom room, bool withClosed) =>
        room.Guild.DoAsync<ProjectReader, PageOf<ProjectView>>(u => u.ListAsync(room.Member, withClosed, new PageRequest(1), Cancellation));

    private static Task<PageOf<ProjectYarn>> YarnAsync(DeskRoom room, Guid by, Guid id) =>
        room.Guild.DoAsync<ProjectReader, PageOf<ProjectYarn>>(u => u.YarnAsync(by, id, new PageRequest(1), Cancellation));
}
