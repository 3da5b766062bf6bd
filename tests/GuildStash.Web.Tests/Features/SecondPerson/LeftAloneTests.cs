using GuildStash.Data.Approvals;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.SecondPerson;

/// <summary>
/// The ways round a second person: small steps, a split first, leftovers thrown away, a smaller weight. Each is asked for, and the audit
/// finds what is written past the use cases.
/// </summary>
public sealed class LeftAloneTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static async Task<WroteOff> WriteOffAsync(DeskRoom room, LotView lot, decimal grams, Guid? by = null)
    {
        Outcome<WroteOff> done = await TryWriteOffAsync(room, lot, grams, by);
        Assert.True(done.IsOk, string.Join(" ", done.Refusals));
        return done.Value;
    }

    private static Task<Outcome<WroteOff>> TryWriteOffAsync(DeskRoom room, LotView lot, decimal grams, Guid? by = null) =>
        room.Guild.UseAsync<WriteOffLot, Outcome<WroteOff>>(u => u.RunAsync(by ?? room.Volunteer, lot.Id, new WriteOffInput(grams, WriteOffTo.Lost, "Not found"), Cancellation));

    private static Task<LotView> SplitAsync(DeskRoom room, LotView lot, decimal grams) =>
        room.Guild.DoAsync<SplitLot, LotView>(u => u.RunAsync(room.Volunteer, lot.Id, new SplitInput(grams, null), Cancellation));

    private static Task<Outcome<WeighedLot>> TryWeighAsync(DeskRoom room, LotView lot, decimal grams) =>
        room.Guild.UseAsync<WeighLot, Outcome<WeighedLot>>(u => u.RunAsync(room.Volunteer, lot.Id, grams, 2, Cancellation));

    private static async Task<Guid?> WeighAsync(DeskRoom room, LotView lot, decimal grams)
    {
        Outcome<WeighedLot> done = await TryWeighAsync(room, lot, grams);
        Assert.True(done.IsOk, string.Join(" ", done.Refusals));
        return done.Value.ApprovalId;
    }

    private static Task<Outcome<Decided>> ApproveAsync(DeskRoom room, Guid approval, Guid? by = null) =>
        room.Guild.UseAsync<DecideApproval, Outcome<Decided>>(u => u.ApproveAsync(by ?? room.Coordinator, approval, null, null, Cancellation));

    /// <summary>Leftovers that nobody looked at, so that they wait.</summary>
    private static async Task<Guid> ReturnAsync(DeskRoom room, LotView lot, decimal grams)
    {
        HandedOver taken = await room.TakenHomeAsync(lot, grams);
        return (await room.TryTakeBackAsync(taken.Id, new ReturnInput(grams, null))).Value.Id;
    }

    private static async Task<Guid?> ThrowAwayAsync(DeskRoom room, Guid back, params string[] found)
    {
        Outcome<InspectedReturn> done = await room.Guild.UseAsync<InspectReturn, Outcome<InspectedReturn>>(u => u.RunAsync(room.Volunteer, back, new ReturnInspection(false, "Felted", found), Cancellation));
        Assert.True(done.IsOk, string.Join(" ", done.Refusals));
        return done.Value.ApprovalId;
    }

    private static async Task<string[]> FaultsAsync(DeskRoom room) =>
        await room.AskAsync(async db => (await BookAudit.RunAsync(db, Cancellation)).SelectMany(line => line.Faults).Select(f => f.ToString()).ToArray());

    [Fact]
    public async Task WriteOff_OfPartsThatWereSplitOff_CountsTogether()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        LotView part = await SplitAsync(room, lot, 60);
        LotView crumb = await SplitAsync(room, part, 20);

        Assert.Null((await WriteOffAsync(room, lot, 30)).ApprovalId);
        Assert.Null((await WriteOffAsync(room, crumb, 20)).ApprovalId);
        Assert.NotNull((await WriteOffAsync(room, part, 1)).ApprovalId);
        Assert.NotNull((await WriteOffAsync(room, lot, 1)).ApprovalId);

        Assert.Null((await WriteOffAsync(room, await room.LotAsync(200), 50)).ApprovalId);
        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task WriteOff_OfTheLotThatMergedIn_CountsTogether()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView left = await room.LotAsync(200);
        LotView gone = await room.LotAsync(100);
        Assert.Null((await WriteOffAsync(room, gone, 40)).ApprovalId);
        Assert.Null((await WriteOffAsync(room, left, 40)).ApprovalId);
        await room.Guild.DoAsync<AskMerge, Guid>(u => u.RunAsync(room.Volunteer, new MergeInput(left.Code, [gone.Code], [], "Same yarn"), Cancellation));
        await room.Guild.ApproveAllAsync();

        Assert.NotNull((await WriteOffAsync(room, left, 5)).ApprovalId);

        // What each lost before they were one was right then.
        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task ExtremeRace_WhenEightWriteOffFromPartsAtOnce_OnlyABallLeavesAlone()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(400);
        List<LotView> parts = [lot];
        for (int i = 0; i < 7; i++)
        {
            parts.Add(await SplitAsync(room, lot, 30));
        }

        WroteOff[] done = await Task.WhenAll(parts.Select(part => Task.Run(() => WriteOffAsync(room, part, 20), Cancellation)));

        Assert.Equal(2, done.Count(d => d.ApprovalId is null));
        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task Leftovers_WhenOverABallIsThrownAway_WaitForASecondPerson()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(300);
        Guid first = await ReturnAsync(room, lot, 60);
        Guid second = await ReturnAsync(room, lot, 30);
        Guid third = await ReturnAsync(room, lot, 30);

        Guid approval = (await ThrowAwayAsync(room, first))!.Value;
        Assert.Equal(300_000, (await room.LookAsync(lot)).OnHandMg);
        ApprovalView seen = Assert.Single((await room.Guild.DoAsync<ApprovalReader, ApprovalDesk>(u => u.WaitingAsync(room.Coordinator, new PageRequest(), Cancellation))).Waiting.Items);
        Assert.Equal(("60 g of lot " + lot.Display + " that came back and did not pass their inspection go to waste.", "Felted"), (seen.Sentence.ToString(), seen.Note));
        Refuse.Rule("second-person-is-another", await ApproveAsync(room, approval, room.Volunteer));
        Assert.True((await ApproveAsync(room, approval)).IsOk);
        Assert.Equal(60_000, await room.BalanceAsync(lot, PlaceKind.Waste));

        // What a second person approved does not count as left alone.
        Assert.Null(await ThrowAwayAsync(room, second));
        Assert.NotNull(await ThrowAwayAsync(room, third));
        Assert.NotNull((await WriteOffAsync(room, await SplitAsync(room, await room.LookAsync(lot), 40), 25)).ApprovalId);
        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task Leftovers_WithInsects_LeaveAtOnceAndCountForNothing()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(300);

        Assert.Null(await ThrowAwayAsync(room, await ReturnAsync(room, lot, 90), "insects"));
        Assert.Null((await WriteOffAsync(room, lot, 50)).ApprovalId);

        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task Leftovers_WhenSomebodyPassesThemMeanwhile_AreNotThrownAway()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(300);
        Guid back = await ReturnAsync(room, lot, 60);
        Guid approval = (await ThrowAwayAsync(room, back))!.Value;
        await room.Guild.DoAsync<InspectReturn, InspectedReturn>(u => u.RunAsync(room.Coordinator, back, new ReturnInspection(true, "Clean after all", []), Cancellation));

        Refuse.Rule("return-settled", await ApproveAsync(room, approval));

        Assert.Equal(300_000, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task Weight_WhenFarFromTheBooks_WaitsForASecondPerson()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        Assert.Null(await WeighAsync(room, lot, 250));
        Assert.NotNull(await WeighAsync(room, lot, 310));
        Refuse.Rule("waits-already", await TryWeighAsync(room, lot, 100));
        await room.Guild.ApproveAllAsync();
        Assert.Equal(310_000, (await room.LookAsync(lot)).OnHandMg);

        Assert.Null(await WeighAsync(room, lot, 280));
        Guid approval = (await WeighAsync(room, lot, 250))!.Value;
        Assert.Equal(280_000, (await room.LookAsync(lot)).OnHandMg);
        Assert.NotNull((await WriteOffAsync(room, lot, 21)).ApprovalId);
        Assert.True((await ApproveAsync(room, approval)).IsOk);
        LotView after = await room.LookAsync(lot);
        Assert.Equal((250_000, 2_000), (after.OnHandMg, after.ScaleDivisionMg));
        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task Weight_WhenItIsTheFirst_IsBookedAtOnce()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(null);

        Assert.Null(await WeighAsync(room, lot, 900));

        Assert.Equal(900_000, (await room.LookAsync(lot)).OnHandMg);
        Assert.Empty(await FaultsAsync(room));
    }

    [Fact]
    public async Task Weight_WhenItWasWeighedOrTakenSince_GoesByTheRulesOfNow()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        Guid approval = (await WeighAsync(room, lot, 120))!.Value;
        await room.TakenHomeAsync(lot, 130);
        Refuse.Rule("not-enough-in-bin", await ApproveAsync(room, approval));

        LotView other = await room.LotAsync(200);
        Guid late = (await WeighAsync(room, other, 120))!.Value;
        Assert.Null(await WeighAsync(room, other, 190));
        Refuse.Rule("weighed-since", await ApproveAsync(room, late));

        LotView promised = await room.LotAsync(200);
        Guid held = (await WeighAsync(room, promised, 120))!.Value;
        await room.HoldAsync(promised, 150);
        Refuse.Rule("held-more", await ApproveAsync(room, held));
    }

    [Fact]
    public async Task Bag_WhenItsLotsLostSomethingBefore_CountsTogether()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LoggedGift gift = await room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(100, 0, ["damp"])] }, Cancellation));
        LotView lot = await room.Guild.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 100 }, Cancellation));
        Assert.Null((await WriteOffAsync(room, lot, 50)).ApprovalId);

        DiscardedBag thrown = await room.Guild.DoAsync<DiscardBag, DiscardedBag>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, "Smells", Cancellation));

        Assert.Equal(50_000, thrown.Mg);
        Assert.NotNull(thrown.ApprovalId);
    }

    /// <summary>Movements as somebody with the database's password would write them.</summary>
    [Fact]
    public async Task Audit_WhenSmallStepsWereWrittenPastTheRules_FindsThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(300);
        LotView part = await SplitAsync(room, lot, 100);
        LotView twin = await room.LotAsync(300);
        await WriteOffAsync(room, lot, 40);
        await WriteAsync(room, part, "'Bin', l.bin_id, 'Lost', null, 20000, 'WrittenOff'");
        await WriteAsync(room, twin, "'Bin', l.bin_id, 'Adjustment', null, 51000, 'WeighingDifference'");
        await WriteAsync(room, twin, "'Adjustment', null, 'Bin', l.bin_id, 52000, 'WeighingDifference'");
        Guid back = await ReturnAsync(room, await room.LotAsync(300), 60);
        await WriteAsync(room, twin, "'Bin', l.bin_id, 'Waste', null, 60000, 'Discarded'");

        string[] faults = await FaultsAsync(room);

        Assert.Contains($"Lot {part.Code}: with 20000 mg more, 60000 mg of it and of lots that share its yarn left within 30 days without a second person.", faults);
        Assert.Contains($"Lot {twin.Code}: with 51000 mg more, 51000 mg of it and of lots that share its yarn left within 30 days without a second person.", faults);
        Assert.Contains($"Lot {twin.Code}: a new weight added 52000 mg without a second person.", faults);
        Assert.Contains($"Lot or bag {twin.Code}: 60000 mg were written off without a second person.", faults);
        Assert.Equal(5, faults.Length);
        await room.OwnerSqlAsync($"update guild set second_person_from = (select max(sequence) from movement), second_person_together_from = (select max(sequence) from movement)");
        Assert.Empty(await FaultsAsync(room));
        Assert.NotEqual(Guid.Empty, back);
    }

    private static Task WriteAsync(DeskRoom room, LotView lot, string way)
    {
        string sql =
            $"""
             insert into movement (id, from_kind, from_id, to_kind, to_id, mg, reason, note, lot_id, bag_id, at, by_id)
             select gen_random_uuid(), {way}, '', l.id, l.bag_id, now(), l.created_by_id from lot l where l.code = '{lot.Code}'
             """;
        return room.AskAsync(db => db.Database.ExecuteSqlRawAsync(sql, Cancellation));
    }
}
