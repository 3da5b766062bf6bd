using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>Plans as kits: all or nothing, once, and told what has changed.</summary>
public sealed class AcceptPlanTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static async Task<(LotView Lot, PlanView Plan, Guid Project, Guid Wanted)> DriveAsync(PlanRoom room, int wanted = 2, decimal grams = 150, RecipientRules rules = RecipientRules.None)
    {
        LotView lot = await room.Desk.LotAsync(grams);
        (Guid project, Guid wantedPiece) = await room.WantedAsync(await room.PieceAsync("Hat", 60), wanted, rules: rules);
        return (lot, await room.PlanAsync(room.Desk.Coordinator, new() { Projects = [project] }, PlanPurpose.Drive), project, wantedPiece);
    }

    private static Task<int> KitsAsync(PlanRoom room) => room.Desk.AskAsync(db => db.Kits.CountAsync(Cancellation));

    private static async Task RefusesAsync(PlanRoom room, PlanView plan, string rule, string sentence)
    {
        Outcome<AcceptedPlan> refused = await room.AcceptAsync(room.Desk.Coordinator, plan.Id);
        Assert.False(refused.IsOk);
        Assert.Contains(refused.Refusals, refusal => refusal.Rule == rule && refusal.Kind == RefusalKind.Conflict);
        Assert.Contains(sentence, string.Join(' ', refused.Refusals), StringComparison.Ordinal);
        Assert.Equal((0, 0), (await KitsAsync(room), await room.Desk.AskAsync(db => db.HoldRequests.CountAsync(r => r.ProjectId != null, Cancellation))));
        Assert.Null((await room.ReadAsync(plan.Id)).AcceptedAt);
    }

    [Fact]
    public async Task Accept_WhenNothingHasChanged_MakesAKitWithItsHoldsForEachPiece()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, Guid project, Guid wanted) = await DriveAsync(room);

        Outcome<AcceptedPlan> accepted = await room.AcceptAsync(room.Desk.Coordinator, plan.Id);

        Assert.True(accepted.IsOk, string.Join(" ", accepted.Refusals));
        Assert.Equal([$"K-{DateTime.UtcNow.Year}-0001", $"K-{DateTime.UtcNow.Year}-0002"], accepted.Value.Kits.Select(kit => kit.Number));
        List<Kit> kits = await room.Desk.AskAsync(db => db.Kits.Include(k => k.Lines).ThenInclude(l => l.Hold).Include(k => k.Request).OrderBy(k => k.Number).ToListAsync(Cancellation));
        Assert.All(kits, kit =>
        {
            Assert.Equal((plan.Id, project, wanted, "Hat", 1), (kit.PlanId, kit.ProjectId, kit.WantedPieceId, kit.PieceName, kit.Pieces));
            KitLine line = Assert.Single(kit.Lines);
            Assert.Equal((line.PlannedMg, lot.Id, HoldState.Active), (line.Hold.Mg, line.Hold.LotId, line.Hold.State));
            Assert.Equal((room.Desk.Coordinator, project), (kit.Request.MemberId, kit.Request.ProjectId));
        });
        Assert.Equal(plan.Answer!.Assignments.Sum(each => each.Mg), (await room.Desk.LookAsync(lot)).HeldMg);
        PlanView then = await room.ReadAsync(plan.Id);
        Assert.Equal((2, room.Desk.Coordinator), (then.Kits.Count, await room.Desk.AskAsync(db => db.Plans.Where(p => p.Id == plan.Id).Select(p => p.AcceptedById).SingleAsync(Cancellation))));
    }

    [Fact]
    public async Task Accept_WhenDoneTwiceEvenAtOnce_AnswersWithTheSameKits()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (_, PlanView plan, _, _) = await DriveAsync(room);

        Outcome<AcceptedPlan>[] both = await Task.WhenAll(room.AcceptAsync(room.Desk.Coordinator, plan.Id), room.AcceptAsync(room.Guild.Administrator, plan.Id));
        Outcome<AcceptedPlan> third = await room.AcceptAsync(room.Desk.Coordinator, plan.Id);

        Assert.All(both, each => Assert.True(each.IsOk));
        Assert.Equal(both[0].Value.Kits.Order(By), both[1].Value.Kits.Order(By));
        Assert.Equal(both[0].Value.Kits.Order(By), third.Value.Kits.Order(By));
        Assert.Equal(2, await KitsAsync(room));
    }

    private static Comparer<AcceptedKit> By => Comparer<AcceptedKit>.Create((a, b) => string.CompareOrdinal(a.Number, b.Number));

    [Fact]
    public async Task Accept_WhenSomeOfItWasReservedSince_BooksNothingAndNamesTheLot()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, _, _) = await DriveAsync(room);
        await room.Desk.HoldAsync(lot, 100);

        await RefusesAsync(room, plan, "not-enough-free", $"Lot {lot.Display}: {plan.Answer!.Assignments.Sum(each => each.Mg) / 1000m} g of it are planned, and 50 g are free now.");
    }

    [Fact]
    public async Task Accept_WhenTheLotIsInQuarantineOrGone_BooksNothing()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, _, _) = await DriveAsync(room);
        await room.Desk.OwnerSqlAsync($"update lot set quarantine_reason = 'Policy' where id = {lot.Id}");

        await RefusesAsync(room, plan, "lot-in-quarantine", $"Lot {lot.Display} is in quarantine.");
        await room.Desk.OwnerSqlAsync($"update lot set quarantine_reason = null where id = {lot.Id}");
    }

    [Fact]
    public async Task Accept_WhenTheProjectTakesNoSuchYarnSince_BooksNothing()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, Guid project, _) = await DriveAsync(room);
        await room.Desk.OwnerSqlAsync($"update lot set conditions = 1 where id = {lot.Id}");
        await room.Desk.OwnerSqlAsync($"update project set rules = {(int)RecipientRules.SmokeFree} where id = {project}");

        await RefusesAsync(room, plan, "smoke-free", $"Lot {lot.Display} breaks the rule \"smoke-free\" of Winter drive");
    }

    [Fact]
    public async Task Accept_WhenALotWasMeasuredShorterSince_BooksNothing()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, _, _) = await DriveAsync(room);
        await room.Desk.OwnerSqlAsync($"update lot set sample_metres = 1, sample_mg = 1000, sample_division_mg = 10 where id = {lot.Id}");

        await RefusesAsync(room, plan, "shorter-than-planned", $"Lot {lot.Display} is reckoned shorter by now");
    }

    [Fact]
    public async Task Accept_WhenTheProjectIsClosedOrGotTheseKitsElsewhere_BooksNothing()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView _, PlanView plan, Guid project, Guid wanted) = await DriveAsync(room, grams: 600);
        await room.Desk.OwnerSqlAsync($"update project set closed_at = now() where id = {project}");
        await RefusesAsync(room, plan, "project-closed", "The project Winter drive was closed since.");
        await room.Desk.OwnerSqlAsync($"update project set closed_at = null where id = {project}");
        await room.Desk.OwnerSqlAsync(
            $"insert into piece_record (id, project_id, wanted_piece_id, piece_name, step, pieces, \"on\", note, created_at, created_by_id) values ({Guid.CreateVersion7()}, {project}, {wanted}, 'Hat', 'Finished', 1, current_date, '', now(), {room.Desk.Coordinator})");

        await RefusesAsync(room, plan, "covered-meanwhile", "1 more of \"Hat\" lie in kits or are made since, and 2 are wanted in all.");
    }

    [Fact]
    public async Task Again_WhenAPlanIsOutdated_PlansWhatIsLeft()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, _, _) = await DriveAsync(room);
        await room.Desk.HoldAsync(lot, 100);

        AskedPlan again = await room.Guild.DoAsync<AskPlan, AskedPlan>(u => u.AgainAsync(room.Desk.Coordinator, plan.Id, Cancellation));
        Assert.True(await room.Runner.RunNextAsync(Cancellation));

        PlanView then = await room.ReadAsync(again.Id);
        Assert.Equal((plan.Name, plan.ProjectId, 1, 50_000L), (then.Name, then.ProjectId, then.Answer!.Count, Assert.Single(then.Lots.Values).Mg));
    }

    [Fact]
    public async Task Plan_WhenKitsAndFinishedPiecesAreThere_CountsThemOff()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (_, PlanView plan, Guid project, Guid wanted) = await DriveAsync(room, wanted: 4, grams: 60);
        Assert.Equal(1, plan.Answer!.Count);
        Assert.True((await room.AcceptAsync(room.Desk.Coordinator, plan.Id)).IsOk);
        await room.Desk.OwnerSqlAsync(
            $"insert into piece_record (id, project_id, wanted_piece_id, piece_name, step, pieces, \"on\", note, created_at, created_by_id) values ({Guid.CreateVersion7()}, {project}, {wanted}, 'Hat', 'Finished', 2, current_date, '', now(), {room.Desk.Coordinator})");
        // The kit's piece is finished too, and all three are with the recipient: they are the same pieces.
        await room.Desk.OwnerSqlAsync(
            $"insert into piece_record (id, project_id, wanted_piece_id, kit_id, piece_name, step, pieces, \"on\", note, created_at, created_by_id) select {Guid.CreateVersion7()}, {project}, {wanted}, id, 'Hat', 'Finished', 1, current_date, '', now(), {room.Desk.Coordinator} from kit");
        await room.Desk.OwnerSqlAsync(
            $"insert into piece_record (id, project_id, wanted_piece_id, piece_name, step, pieces, \"on\", note, created_at, created_by_id) values ({Guid.CreateVersion7()}, {project}, {wanted}, 'Hat', 'Delivered', 3, current_date, '', now(), {room.Desk.Coordinator})");
        await room.Desk.LotAsync(400);

        PlanView next = await room.PlanAsync(room.Desk.Coordinator, new() { Projects = [project] }, PlanPurpose.Drive);

        Assert.Equal((1, 1, 3), (next.Answer!.Wanted, next.Answer.Count, next.Answer.Made[0].Covered));
        await room.AcceptAsync(room.Desk.Coordinator, next.Id);
        Outcome<AskedPlan> nothing = await room.TryAskAsync(room.Desk.Coordinator, new(PlanPurpose.Drive, new() { Projects = [project] }));
        Assert.Equal("nothing-missing", nothing.Refusal.Rule);
    }

    [Fact]
    public async Task Accept_WhenSeveralPiecesLieInAKit_MakesFewerKitsWithTheSameYarn()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (LotView lot, PlanView plan, _, _) = await DriveAsync(room, wanted: 5, grams: 900);

        Outcome<AcceptedPlan> accepted = await room.AcceptAsync(room.Desk.Coordinator, plan.Id, new(PiecesInKit: 2));

        Assert.Equal([2, 2, 1], accepted.Value.Kits.Select(kit => kit.Pieces));
        List<Kit> kits = await room.Desk.AskAsync(db => db.Kits.Include(k => k.Lines).ToListAsync(Cancellation));
        Assert.All(kits, kit => Assert.Single(kit.Lines));
        Assert.Equal(plan.Answer!.Assignments.Sum(each => each.Mg), kits.Sum(kit => kit.Lines[0].PlannedMg));
        Assert.Equal(300, kits.Sum(kit => kit.Lines[0].Metres), 6);
    }

    [Fact]
    public async Task Accept_WhenByAMember_WorksForTheirOwnPlanAlone()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(400);
        PlanAsk ask = new() { Pieces = [new() { PieceId = await room.PieceAsync("Hat", 60), Wanted = 1 }] };
        PlanView own = await room.PlanAsync(room.Desk.Member, ask);
        PlanView other = await room.PlanAsync(room.Desk.OtherMember, ask);
        Assert.Equal("not-allowed", (await room.TryAskAsync(room.Desk.Member, new(PlanPurpose.Drive, ask))).Refusal.Rule);

        Assert.Equal("not-found", (await room.AcceptAsync(room.Desk.Member, other.Id)).Refusal.Rule);
        Assert.Equal("not-allowed", (await room.AcceptAsync(room.Desk.Volunteer, other.Id)).Refusal.Rule);
        Outcome<AcceptedPlan> accepted = await room.AcceptAsync(room.Desk.Member, own.Id);

        Assert.True(accepted.IsOk, string.Join(" ", accepted.Refusals));
        Assert.Equal(room.Desk.Member, await room.Desk.AskAsync(db => db.Kits.Select(k => k.Request.MemberId).SingleAsync(Cancellation)));
    }

    [Fact]
    public async Task WhatIf_WhenABagWereGiven_MakesMoreAndCanNotBecomeKits()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        (_, PlanView plan, _, _) = await DriveAsync(room, wanted: 20, grams: 60);

        AskedPlan asked = await room.Guild.DoAsync<AskPlan, AskedPlan>(u => u.WhatIfAsync(
            room.Desk.Coordinator, plan.Id, new(Bag: new(2_000, Domain.WeightClasses.WeightClass.Aran, null, "PAN", true)), Cancellation));
        Assert.True(await room.Runner.RunNextAsync(Cancellation));
        PlanView then = await room.ReadAsync(asked.Id);

        PlanBeside beside = PlanBeside.Of(plan.Answer!, then.Answer!);
        Assert.Equal(("Hat", 1, 20), (beside.Pieces[0].Piece, beside.Pieces[0].Now, beside.Pieces[0].Then));
        Assert.Equal(plan.Id, then.BasisId);
        Assert.Equal("plan-with-a-bag", (await room.AcceptAsync(room.Desk.Coordinator, asked.Id)).Refusal.Rule);
    }

    [Fact]
    public async Task WhatIf_WhenARuleLess_TakesTheLotThatItBarred()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        await room.Desk.LotAsync(150, lot => lot with { MachineWashable = Domain.Intake.Tristate.No });
        (Guid project, _) = await room.WantedAsync(await room.PieceAsync("Hat", 60), 2, rules: RecipientRules.WashableOnly);
        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { Projects = [project] }, PlanPurpose.Drive);
        Assert.Equal(0, plan.Answer!.Count);

        AskedPlan asked = await room.Guild.DoAsync<AskPlan, AskedPlan>(u => u.WhatIfAsync(room.Desk.Coordinator, plan.Id, new("Hat", Lift: RecipientRules.WashableOnly), Cancellation));
        Assert.True(await room.Runner.RunNextAsync(Cancellation));

        Assert.Equal(2, (await room.ReadAsync(asked.Id)).Answer!.Count);
        Assert.Equal("plan-lifts-a-rule", (await room.AcceptAsync(room.Desk.Coordinator, asked.Id)).Refusal.Rule);
    }

    [Fact]
    public async Task WhatIf_WhenTheMothballBarOfInfantsIsLifted_NeverBecomesKitsAndSaysWhichRule()
    {
        await using PlanRoom room = await PlanRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(150);
        await room.Desk.OwnerSqlAsync($"update lot set conditions = {(int)Domain.Intake.Conditions.Mothball} where id = {lot.Id}");
        Guid hat = await room.PieceAsync("Hat", 60, piece => piece.ForInfants = true);
        PlanView plan = await room.PlanAsync(room.Desk.Coordinator, new() { Pieces = [new() { PieceId = hat, Wanted = 1 }] });
        Assert.Equal(0, plan.Answer!.Count);

        AskedPlan asked = await room.Guild.DoAsync<AskPlan, AskedPlan>(u => u.WhatIfAsync(room.Desk.Coordinator, plan.Id, new("Hat", Lift: RecipientRules.InfantOrHospital), Cancellation));
        Assert.True(await room.Runner.RunNextAsync(Cancellation));
        PlanView then = await room.ReadAsync(asked.Id);
        Outcome<AcceptedPlan> accepted = await room.AcceptAsync(room.Desk.Coordinator, asked.Id);

        Assert.Equal(1, then.Answer!.Count);
        Assert.Equal(("Hat", RecipientRules.InfantOrHospital), (Assert.Single(then.Lifted).Piece, then.Lifted[0].Rule));
        Assert.Equal($"Plan {then.Number} lifts the rule \"For infants or a hospital: never any mothball smell\" of Hat, so it can't become kits: it only shows what the rule costs. Accept a plan that keeps the recipient's rules.",
            accepted.Refusal.ToString());
        Assert.Equal(0, await room.Desk.AskAsync(db => db.Kits.CountAsync(Cancellation)));
    }
}
