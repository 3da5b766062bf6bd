using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Projects;

/// <summary>Wanted pieces stay the same rows while a project is changed, since kits and records of progress refer to them.</summary>
public sealed class WantedPieceTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Edit_WhenPiecesAreRenamedMovedAddedAndTakenOut_KeepsTheOthersKeys()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await CreateAsync(room, new("Hat", 40, ""), new("Scarf", 10, "long"), new("Mittens", 5, ""));
        PieceView[] before = [.. (await OneAsync(room, project)).Pieces];

        await EditAsync(room, project, Of(before[2]) with { Wanted = 6 }, new("Socks", 3, ""), Of(before[0]) with { Name = "Warm hat", Notes = "no black", Priority = 20 });

        IReadOnlyList<PieceView> after = (await OneAsync(room, project)).Pieces;
        Assert.Equal([("Mittens", 6, "", 1), ("Socks", 3, "", 1), ("Warm hat", 40, "no black", 20)], after.Select(p => (p.Name, p.Wanted, p.Notes, p.Priority)));
        Assert.Equal([before[2].Id, before[0].Id], [after[0].Id, after[2].Id]);
        Assert.DoesNotContain(after[1].Id, before.Select(p => p.Id));
        Assert.Equal(3, await room.AskAsync(db => db.WantedPieces.CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Edit_WhenARowHasNoKey_TheRowOfItsNameIsChanged()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await CreateAsync(room, new("Hat", 40, ""), new("Hat", 4, "small"));
        PieceView[] before = [.. (await OneAsync(room, project)).Pieces];

        await EditAsync(room, project, Of(before[0]), new(" hat ", 7, ""), new("Hat", 1, ""));

        IReadOnlyList<PieceView> after = (await OneAsync(room, project)).Pieces;
        Assert.Equal([(before[0].Id, 40), (before[1].Id, 7)], after.Take(2).Select(p => (p.Id, p.Wanted)));
        Assert.DoesNotContain(after[2].Id, before.Select(p => p.Id));
    }

    [Fact]
    public async Task Edit_WhenRecordsAreAboutAPiece_ItStaysAndTheRefusalSaysWhatToDo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await CreateAsync(room, new("Hat", 40, ""), new("Scarf", 10, ""));
        PieceView[] before = [.. (await OneAsync(room, project)).Pieces];
        await room.AskAsync(async db =>
        {
            db.PieceRecords.Add(new PieceRecord { ProjectId = project, WantedPieceId = before[0].Id, PieceName = "Hat", Pieces = 2, Step = PieceStep.Finished, On = new(2026, 11, 20), CreatedAt = DateTimeOffset.UtcNow, CreatedById = room.Member });
            return await db.SaveChangesAsync(Cancellation);
        });

        Outcome<bool> refused = await TryEditAsync(room, project, Of(before[1]));

        Refuse.Rule("piece-in-use", "pieces", refused);
        Assert.Contains("\"Hat\" can't be taken out: kits (0) and records of progress (1)", refused.Refusal.ToString(), StringComparison.Ordinal);
        Assert.Equal([true, false], (await OneAsync(room, project)).Pieces.Select(p => p.IsInUse));
        await EditAsync(room, project, Of(before[0]) with { Name = "Cap", Wanted = 2 });
        Assert.Equal([(before[0].Id, "Cap")], (await OneAsync(room, project)).Pieces.Select(p => (p.Id, p.Name)));
    }

    [Fact]
    public async Task Invalid_WhenAKeyIsAnothersOrThereTwice_IsRefusedAtItsRow()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid other = await CreateAsync(room, new PieceInput("Hat", 1, ""));
        Guid project = await CreateAsync(room, new PieceInput("Hat", 40, ""));
        PieceView foreign = (await OneAsync(room, other)).Pieces.Single();
        PieceView own = (await OneAsync(room, project)).Pieces.Single();

        Refuse.Rule("invalid-value", "pieces[1].id", await TryEditAsync(room, project, Of(own), Of(foreign)));
        Refuse.Rule("invalid-value", "pieces[1].id", await TryEditAsync(room, project, Of(own), Of(own)));
        Refuse.Rule("invalid-value", "pieces[0].priority", await TryEditAsync(room, project, Of(own) with { Priority = 0 }));
        Refuse.Rule("invalid-value", "pieces[0].priority", await TryEditAsync(room, project, Of(own) with { Priority = 1_001 }));
        Assert.Equal([40], (await OneAsync(room, project)).Pieces.Select(p => p.Wanted));
    }

    [Fact]
    public async Task Choose_WhenALineOfThePieceBookIsRetired_ItStaysButIsNotChosenAnew()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid line = await LineAsync(room, "Adult hat");
        Guid project = await CreateAsync(room, new PieceInput("Hat", 40, "") { PieceId = line });
        PieceView before = (await OneAsync(room, project)).Pieces.Single();
        Assert.Equal((line, "Adult hat"), (before.PieceId, before.PieceName));

        await room.OwnerSqlAsync($"update piece set retired_at = now() where id = {line}");

        await EditAsync(room, project, Of(before) with { Wanted = 41 });
        Refuse.Rule("invalid-value", "pieces[1].pieceId", await TryEditAsync(room, project, Of(before), new PieceInput("Cap", 1, "") { PieceId = line }));
        Refuse.Rule("invalid-value", "pieces[0].pieceId", await TryEditAsync(room, project, Of(before) with { PieceId = Guid.NewGuid() }));
        await EditAsync(room, project, Of(before) with { PieceId = null });
        Assert.Null((await OneAsync(room, project)).Pieces.Single().PieceId);
    }

    [Fact]
    public async Task PublicName_WhenGiven_IsKeptInSmallLettersAndUnique()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Hats", PublicName = " Winter-Hats-2027 " }, Cancellation));
        Assert.Equal("winter-hats-2027", (await OneAsync(room, project)).PublicName);

        foreach (string wrong in (string[])["ab", "-hats", "hats-", "warm hats", "hüte", "a/b", new('a', 61)])
        {
            Refuse.Rule("invalid-value", "publicName", await TryCreateAsync(room, new() { Name = "Caps", PublicName = wrong }));
        }

        Refuse.Rule("public-name-taken", "publicName", await TryCreateAsync(room, new() { Name = "Caps", PublicName = "winter-hats-2027" }));
        Assert.True((await TryCreateAsync(room, new() { Name = "Caps" })).IsOk);
        Assert.True((await TryCreateAsync(room, new() { Name = "More caps", PublicName = " " })).IsOk);
        Assert.True((await room.Guild.UseAsync<EditProject, Outcome<bool>>(u => u.RunAsync(room.Coordinator, project, 0, new ProjectInput { Name = "Hats", PublicName = "winter-hats-2027" }, Cancellation))).IsOk);
    }

    private static PieceInput Of(PieceView piece) => new(piece.Name, piece.Wanted, piece.Notes) { Id = piece.Id, PieceId = piece.PieceId, Priority = piece.Priority };

    private static Task<Guid> LineAsync(DeskRoom room, string name) => room.AskAsync(async db =>
    {
        Piece piece = new() { Name = name, CreatedAt = DateTimeOffset.UtcNow, CreatedById = room.Coordinator, ChangedAt = DateTimeOffset.UtcNow, ChangedById = room.Coordinator };
        db.Pieces.Add(piece);
        await db.SaveChangesAsync(Cancellation);
        return piece.Id;
    });

    private static Task<Outcome<Guid>> TryCreateAsync(DeskRoom room, ProjectInput input) =>
        room.Guild.UseAsync<CreateProject, Outcome<Guid>>(u => u.RunAsync(room.Coordinator, input, Cancellation));

    private static Task<Guid> CreateAsync(DeskRoom room, params PieceInput[] pieces) =>
        room.Guild.DoAsync<CreateProject, Guid>(u => u.RunAsync(room.Coordinator, new ProjectInput { Name = "Hats", Pieces = pieces }, Cancellation));

    private static async Task<Outcome<bool>> TryEditAsync(DeskRoom room, Guid project, params PieceInput[] pieces)
    {
        int version = (await OneAsync(room, project)).Version;
        return await room.Guild.UseAsync<EditProject, Outcome<bool>>(u => u.RunAsync(room.Coordinator, project, version, new ProjectInput { Name = "Hats", Pieces = pieces }, Cancellation));
    }

    private static async Task EditAsync(DeskRoom room, Guid project, params PieceInput[] pieces)
    {
        Outcome<bool> edited = await TryEditAsync(room, project, pieces);
        Assert.True(edited.IsOk, string.Join(" ", edited.Refusals));
    }

    private static Task<ProjectView> OneAsync(DeskRoom room, Guid id) =>
        room.Guild.DoAsync<ProjectReader, ProjectView>(u => u.OneAsync(room.Member, id, Cancellation));

    [Fact]
    public async Task Extreme_WhenAsManyAreWantedAsAPlanTakes_ThePlanIsAskedForAllOfThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await CreateAsync(room, new PieceInput("Square", 8_000, "") { PieceId = await LineAsync(room, "Square") });

        Outcome<bool> tooMany = await TryEditAsync(room, project, Of((await OneAsync(room, project)).Pieces.Single()) with { Wanted = 8_001 });
        PlanForm form = new() { ForMe = false };
        form.Show(await room.Guild.DoAsync<PlanDeskReader, PlanDesk>(u => u.RunAsync(room.Coordinator, project, Cancellation)));

        Refuse.Rule("invalid-value", "pieces[0].wanted", tooMany);
        Assert.Equal("8001 pieces can't be wanted; allowed are 1 to 8,000.", tooMany.Refusal.ToString());
        Assert.Equal(8_000, form.Rows.Single().Number);
        Assert.Null(form.ToRequest().Ask.Pieces.Single().Wanted);
    }

    [Fact]
    public async Task Edit_WhenMoreWereWantedBeforeThanIsAllowedNow_TheNumberMayStay()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await CreateAsync(room, new PieceInput("Square", 40, ""));
        await room.OwnerSqlAsync($"update wanted_piece set wanted = 20000 where project_id = {project}");
        PieceView before = (await OneAsync(room, project)).Pieces.Single();

        await EditAsync(room, project, Of(before) with { Notes = "any colour" });

        Refuse.Rule("invalid-value", "pieces[0].wanted", await TryEditAsync(room, project, Of(before) with { Wanted = 20_001 }));
        Assert.Equal((20_000, "any colour"), ((await OneAsync(room, project)).Pieces.Single().Wanted, (await OneAsync(room, project)).Pieces.Single().Notes));
    }
}
