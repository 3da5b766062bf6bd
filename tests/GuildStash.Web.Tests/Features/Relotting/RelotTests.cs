using GuildStash.Data.Ledger;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.Relotting;

/// <summary>Splitting and merging on a real database; each room's books are audited when it closes.</summary>
public sealed class RelotTests(PostgresFixture postgres)
{
    private static readonly (string Sql, string State)[] Wrong =
    [
        ("insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id) select gen_random_uuid(), 'Bin', bin_id, 'Relotted', gen_random_uuid(), 1000, 'Split', '', id, bag_id, now(), created_by_id from lot limit 1", PostgresErrorCodes.CheckViolation),
        ("with t as (insert into lot_transfer (id, kind, from_lot_id, to_lot_id, mg, balls, at, by_id) select gen_random_uuid(), 'Split', min(id::text)::uuid, max(id::text)::uuid, 1000, 0, now(), min(created_by_id::text)::uuid from lot returning id, from_lot_id) insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id) select gen_random_uuid(), 'Bin', l.bin_id, 'Relotted', t.id, 1000, 'Split', '', l.id, l.bag_id, now(), l.created_by_id from t join lot l on l.id = t.from_lot_id", PostgresErrorCodes.CheckViolation),
        ("update hold set lot_id = (select l.id from lot l where l.id <> hold.lot_id limit 1)", PostgresErrorCodes.RestrictViolation),
        ("update lot set merged_into_id = null where merged_into_id is not null", PostgresErrorCodes.RestrictViolation),
        ("update lot set closed_at = null where merged_into_id is not null", PostgresErrorCodes.CheckViolation),
        ("update lot_transfer set mg = mg + 1", PostgresErrorCodes.InsufficientPrivilege),
        ("delete from lot_transfer", PostgresErrorCodes.InsufficientPrivilege),
    ];

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Split_OfAHeldLot_CopiesWhatIsKnownAndLeavesThePromise()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200, l => l with { Count = 4, DyeLot = "A12", Band = new BandInput(80, 50), ScaleDivisionGrams = 1 }, "mothball");
        await room.HoldAsync(lot, 120);
        Refuse.Rule("held-more", await room.TrySplitAsync(lot, 81));

        LotView part = await room.SplitAsync(lot, 50, 1);

        LotView rest = await room.LookAsync(lot);
        Assert.Equal((50_000, 0, 1, "A12", lot.BinCode), (part.OnHandMg!.Value, part.HeldMg, part.Count, part.DyeLot, part.BinCode));
        Assert.Equal((150_000, 120_000, 3), (rest.OnHandMg!.Value, rest.HeldMg, rest.Count));
        Assert.Equal((lot.MetresPer100gLow, lot.Conditions, lot.FibreBasis, lot.ColourHex), (part.MetresPer100gLow, part.Conditions, part.FibreBasis, part.ColourHex));
        Assert.True(part.Conditions.HasFlag(Conditions.Mothball));
        Assert.Equal((1_000L, 1_415L), (part.ScaleDivisionMg, rest.ScaleDivisionMg));
        Assert.NotEqual(lot.Code, part.Code);
    }

    [Fact]
    public async Task Split_InQuarantine_StaysApart()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200, null, "damp");
        Refuse.Rule("quarantine-bin-only", await room.TrySplitAsync(lot, 50, bin: await room.AskAsync(db => db.Bins.Where(b => b.Kind == Data.Stock.BinKind.SortingTable).Select(b => b.Code).FirstAsync(Cancellation))));

        LotView part = await room.SplitAsync(lot, 50);

        Assert.Equal((LotStatus.Quarantined, lot.QuarantineReason, 50_000), (part.Status, part.QuarantineReason, part.QuarantinedMg));
        Refuse.Rule("lot-in-quarantine", await room.TryAskMergeAsync(await room.LotAsync(100), [part], "conditions"));
    }

    [Fact]
    public async Task Undo_WhileNothingHasHappened_PutsItBackAndTheLabelMeansTheOrigin()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200, l => l with { Count = 4 });
        LotView part = await room.SplitAsync(lot, null, 2);
        Refuse.Rule("lot-was-split", await room.Guild.UseAsync<UndoLot, Outcome<bool>>(u => u.RunAsync(room.Volunteer, part.Id, Cancellation)));

        LotView origin = await room.Guild.DoAsync<UndoSplit, LotView>(u => u.RunAsync(room.Volunteer, part.Id, Cancellation));

        Assert.Equal((lot.Code, 200_000, 4), (origin.Code, origin.OnHandMg!.Value, origin.Count));
        Assert.Equal(lot.Code, (await room.ScanAsync(part.Code)).Lot.Code);
        await room.AssertMeetsBooksAsync(await room.HistoryAsync(lot));

        LotView second = await room.SplitAsync(lot, 50);
        await room.HoldAsync(second, 10);
        Refuse.Rule("lot-in-use", await room.Guild.UseAsync<UndoSplit, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, second.Id, Cancellation)));
    }

    [Fact]
    public async Task Merge_WhenApproved_CarriesPromisesHomesAndLabels()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync();
        LotView left = await room.LotAsync(100);
        LotView gone = await room.LotAsync(300, l => l with { DyeLot = "7", FibreBasis = FibreBasis.DonorSaid });
        HandedOver home = await room.TakenHomeAsync(gone, 80, project);
        PlacedHold hold = await room.HoldAsync(gone, 150, project: project);
        Refuse.Rule("merge-widens", await room.TryAskMergeAsync(left, [gone], "dyeLot"));
        Guid asked = (await room.TryAskMergeAsync(left, [gone], "dyeLot", "fibreBasis")).Value;
        Assert.Equal((220_000, true), ((await room.LookAsync(gone)).OnHandMg!.Value, (await room.LookAsync(left)).AwaitsSecondPerson));
        Refuse.Rule("second-person-is-another", await room.Guild.UseAsync<Web.Features.SecondPerson.DecideApproval, Outcome<Web.Features.SecondPerson.Decided>>(u => u.ApproveAsync(room.Volunteer, asked, null, null, Cancellation)));

        Assert.True((await room.ApproveAsync(asked)).IsOk);

        LotView merged = await room.LookAsync(left);
        Assert.Equal((320_000, 150_000, "", FibreBasis.DonorSaid), (merged.OnHandMg!.Value, merged.HeldMg, merged.DyeLot, merged.FibreBasis));
        Assert.Contains("7", merged.Notes, StringComparison.Ordinal);
        Hold moved = await room.HoldRowAsync(hold.Id);
        Assert.Equal((left.Id, 150_000, HoldState.Active), (moved.LotId, moved.Mg, moved.State));
        Assert.Equal((gone.Display, left.Code), ((await room.ScanAsync(gone.Code)).OldDisplay, (await room.ScanAsync(gone.Code)).Lot.Code));
        Outcome<TakenBack> back = await room.TryTakeBackAsync(home.Id, new ReturnInput(30, [], IsAll: true));
        Assert.Equal((left.Code, true), (back.Value.LotCode, back.Value.IsFree));
        Assert.Equal((350_000L, LotStatus.Closed, left.Code), ((await room.LookAsync(left)).OnHandMg!.Value, (await room.LookAsync(gone)).Status, (await room.LookAsync(gone)).MergedIntoCode));
        HandedOver taken = await room.HandOverAsync(new HandOverInput(HoldId: hold.Id));
        Assert.Equal(left.Code, taken.LotCode);
        await room.AssertMeetsBooksAsync(await room.HistoryAsync(gone));
    }

    [Fact]
    public async Task Merge_WhenAPromiseWouldBreakTheRecipientsRule_IsRefusedAndNothingMoves()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid babies = await room.ProjectAsync("Newborn hats", RecipientRules.InfantOrHospital);
        LotView left = await room.LotAsync(100);
        await room.HoldAsync(left, 50, project: babies);
        LotView smells = await room.LotAsync(100, null, "mothball");
        Guid asked = (await room.TryAskMergeAsync(left, [smells], "conditions")).Value;

        Assert.False((await room.ApproveAsync(asked)).IsOk);

        Assert.Equal((100_000, 100_000), ((await room.LookAsync(left)).OnHandMg!.Value, (await room.LookAsync(smells)).OnHandMg!.Value));
    }

    [Fact]
    public async Task Search_ForTheOldCode_FindsTheLotThatIsLeft()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        (LotView a, LotView b, LotView c) = (await room.LotAsync(100), await room.LotAsync(100), await room.LotAsync(100));
        await room.MergeAsync(b, [a]);
        await room.MergeAsync(c, [b]);

        PageOf<LotView> found = await room.Guild.DoAsync<InventoryReader, PageOf<LotView>>(u => u.LotsAsync(room.Member, new LotFilter { Query = a.Display }, LotOrder.Newest, new PageRequest(), Cancellation));

        Assert.Equal([c.Code], found.Items.Select(l => l.Code));
        Assert.Equal(c.Code, (await room.ScanAsync(a.Code)).Lot.Code);
        Assert.Equal(a.Display, (await room.Guild.DoAsync<LabelReader, LabelledLot?>(u => u.OldAsync(room.Member, a.Display, Cancellation)))!.OldDisplay);
        await room.AssertMeetsBooksAsync(await room.HistoryAsync(c));
    }

    [Fact]
    public async Task Invalid_Statements_AreRefusedByTheDatabase()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        LotView part = await room.SplitAsync(lot, 40);
        await room.MergeAsync(await room.LotAsync(100), [part]);
        await room.HoldAsync(lot, 10);
        await using NpgsqlConnection connection = new(room.Guild.AppConnectionString);
        await connection.OpenAsync(Cancellation);
        foreach ((string sql, string state) in Wrong)
        {
            await using NpgsqlCommand command = new(sql, connection);
            PostgresException refused = await Assert.ThrowsAsync<PostgresException>(() => command.ExecuteNonQueryAsync(Cancellation));
            Assert.Equal((sql, state), (sql, refused.SqlState));
        }
    }

    [Fact]
    public async Task Audit_WhenAMergedLotsWayIsMissing_SaysSo()
    {
        DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView part = await room.SplitAsync(await room.LotAsync(100), 40);
        LotView left = await room.MergeAsync(await room.LotAsync(100), [part]);
        await room.OwnerSqlAsync($"alter table lot_transfer disable trigger lot_transfer_is_final");
        await room.OwnerSqlAsync($"update lot_transfer set mg = mg + 5 where to_lot_id = {left.Id}");

        IReadOnlyList<AuditLine> lines = await room.AskAsync(db => BookAudit.RunAsync(db, Cancellation));

        Assert.Contains("40005 mg should have changed lots; 40000 mg left the one and 40000 mg came into the other.", Assert.Single(lines.SelectMany(l => l.Faults)).ToString(), StringComparison.Ordinal);
        await room.Guild.DisposeAsync();
    }

    [Fact]
    public async Task History_OfAGift_TellsEachGramAndHidesTheDonorFromMembers()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        LotView part = await room.SplitAsync(lot, 50);
        await room.TakenHomeAsync(part, 20);

        FlowView gift = await room.Guild.DoAsync<FlowReader, FlowView>(u => u.OfGiftAsync(room.Volunteer, lot.DonationId, Cancellation));

        FlowGraph graph = gift.Book.Graph;
        Assert.Equal(90_000_000 - 200_000, graph.Into(new(FlowNodeKind.InBag, lot.BagId)));
        Assert.Equal(90_000_000, graph.OutOf(new(FlowNodeKind.Bag, lot.BagId)));
        await room.AssertMeetsBooksAsync(gift);
        Assert.Equal("not-allowed", (await room.Guild.UseAsync<FlowReader, Outcome<FlowView>>(u => u.OfGiftAsync(room.Member, lot.DonationId, Cancellation))).Refusal.Rule);
        FlowView seen = await room.Guild.DoAsync<FlowReader, FlowView>(u => u.OfLotAsync(room.Member, lot.Code, Cancellation));
        Assert.All(seen.Names.Values, name => Assert.Equal("", name.Detail));
    }

    [Fact]
    public async Task Extreme_History_OfMoreLotsThanAreShown_SaysSoAndStillMeets()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(1000);
        for (int i = 0; i < FlowReader.MostLots + 2; i++)
        {
            await room.SplitAsync(lot, 10);
        }

        FlowView view = await room.HistoryAsync(lot);

        Assert.True(view.HasMore);
        Assert.Equal(FlowReader.MostLots, view.Book.Graph.Nodes.Count(n => n.Kind == FlowNodeKind.Lot));
        Assert.Equal(30_000, view.Book.Graph.Nodes.Where(n => n.Kind == FlowNodeKind.FurtherLots).Sum(view.Book.Graph.Into));
        await room.AssertMeetsBooksAsync(view);
    }
}
