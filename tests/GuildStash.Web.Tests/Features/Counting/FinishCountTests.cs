using GuildStash.Data.Counting;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Npgsql;
using Xunit;

namespace GuildStash.Web.Tests.Features.Counting;

/// <summary>What a count finds against the books, and what becomes of it, on a real database.</summary>
public sealed class FinishCountTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <summary>A whole count of some lots of a bin, on a scale of the register or on none.</summary>
    private static async Task<Outcome<CountResult>> CountAsync(GuildRoom room, BinView bin, Guid? scale, params (LotView Lot, decimal Grams)[] found)
    {
        Guid count = await room.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Volunteer, bin.Code, Cancellation));
        await room.DoAsync<SaveCount, bool>(u => u.HowAsync(room.Volunteer, count, new CountHow(CountWay.LotByLot, scale, null), Cancellation));
        foreach ((LotView lot, decimal grams) in found)
        {
            await room.DoAsync<SaveCount, bool>(u => u.LotAsync(room.Volunteer, count, lot.Code, grams, Cancellation));
        }

        Outcome<CountResult> result = await room.UseAsync<FinishCount, Outcome<CountResult>>(u => u.RunAsync(room.Volunteer, count, Cancellation));
        if (!result.IsOk)
        {
            await room.DoAsync<LeaveCount, bool>(u => u.RunAsync(room.Volunteer, count, Cancellation));
        }

        return result;
    }

    private static async Task<CountResult> WholeAsync(GuildRoom room, BinView bin, decimal gross)
    {
        Guid count = await room.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Volunteer, bin.Code, Cancellation));
        await room.DoAsync<SaveCount, bool>(u => u.HowAsync(room.Volunteer, count, new CountHow(CountWay.WholeBin, null, gross), Cancellation));
        return await room.DoAsync<FinishCount, CountResult>(u => u.RunAsync(room.Volunteer, count, Cancellation));
    }

    private static async Task<BinView> WithTareAsync(GuildRoom room, BinView bin, decimal tare) =>
        await room.DoAsync<EditBin, BinView>(u => u.RunAsync(room.Volunteer, bin.Id, bin.Version, new BinInput(bin.Name, bin.Kind, null, null, null, null, tare, 1), Cancellation));

    private static async Task<ApprovalView> WaitingAsync(GuildRoom room) =>
        Assert.Single((await room.DoAsync<ApprovalReader, ApprovalDesk>(u => u.WaitingAsync(room.Coordinator, new PageRequest(), Cancellation))).Waiting.Items);

    private static Task<Outcome<Decided>> ApproveAsync(GuildRoom room, ApprovalView waiting, Guid by) =>
        room.UseAsync<DecideApproval, Outcome<Decided>>(u => u.ApproveAsync(by, waiting.Id, null, null, Cancellation));

    [Fact]
    public async Task Finish_WithinAndBeyondTolerance_BooksTheOneAndAsksForTheOther()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await guild.BinAsync("Blues");
        LotView near = await room.LotAsync(500, l => l with { BinCode = bin.Code, ScaleDivisionGrams = 1 });
        LotView far = await room.LotAsync(300, l => l with { BinCode = bin.Code, ScaleDivisionGrams = 1 });
        LotView same = await room.LotAsync(80, l => l with { BinCode = bin.Code, ScaleDivisionGrams = 1 });
        Guid scale = await guild.DoAsync<SaveScale, Guid>(u => u.RunAsync(room.Coordinator, null, 0, new ScaleInput("Bench", 5, 5000, true, null), Cancellation));

        CountResult result = (await CountAsync(guild, bin, scale, (near, 495), (far, 260), (same, 80))).Value;

        // Computed: 3·√(1/6 + 25/6 + 1) + 10 ‰: 6.928 g and 5 g of 500 g, 3 g of 300 g.
        CountedLotView[] lines = [.. result.Lots.OrderByDescending(l => l.BookMg)];
        Assert.Equal([CountOutcome.Booked, CountOutcome.Asked, CountOutcome.Agrees], lines.Select(l => l.Outcome));
        Assert.Equal([11_928, 9_928, 7_728], lines.Select(l => l.ToleranceMg));
        Assert.Equal((495_000, 300_000), ((await room.LookAsync(near)).OnHandMg!.Value, (await room.LookAsync(far)).OnHandMg!.Value));
        Lot weighed = await room.AskAsync(db => db.Lots.AsNoTracking().SingleAsync(l => l.Id == near.Id, Cancellation));
        Assert.Equal((5_000L, true), (weighed.ScaleDivisionMg!.Value, weighed.WeighedForTrade));
        Assert.True((await room.LookAsync(far)).AwaitsSecondPerson);

        ApprovalView waiting = await WaitingAsync(guild);
        Assert.Equal((ApprovalKind.CountDifference, bin.Display, $"/bins/{bin.Code}"), (waiting.Kind, waiting.Subject, waiting.Href));
        Assert.Equal($"Lot {far.Display}: 260 g found, 300 g in the books, beyond ± 9.928 g.", waiting.Sentence.ToString());
        Refuse.Rule("second-person-is-another", await ApproveAsync(guild, waiting, room.Volunteer));
        Assert.True((await ApproveAsync(guild, waiting, room.Coordinator)).IsOk);

        Assert.Equal(260_000, (await room.LookAsync(far)).OnHandMg);
        Assert.Equal(40_000, await room.BalanceAsync(far, PlaceKind.Adjustment));
        PastCount past = Assert.Single((await guild.DoAsync<CountReader, PageOf<PastCount>>(u => u.OfBinAsync(room.Volunteer, bin.Code, new PageRequest(), Cancellation))).Items);
        Assert.Equal((CountOutcome.Approved, 880_000L, 835_000L, 3), (past.Outcome, past.BookMg!.Value, past.FoundMg!.Value, past.Lots));
        Assert.Equal(0, await room.AskAsync(async db => (await BookAudit.RunAsync(db, Cancellation)).Sum(line => line.Faults.Count)));
    }

    [Fact]
    public async Task Approve_WhenTheBooksMovedOn_BooksTheDifferenceOnWhatIsThereOrRefuses()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        Assert.True((await CountAsync(guild, bin, null, (lot, 200))).IsOk);
        await room.TakenHomeAsync(lot, 50);
        Guid held = (await room.HoldAsync(lot, 160)).Id;

        ApprovalView waiting = await WaitingAsync(guild);
        Assert.Equal(
            $"When lot {lot.Display} was counted, the books had 300 g there; now they have 250 g. The difference of -100 g would be booked on that.",
            Assert.Single(waiting.Since).ToString());
        Outcome<Decided> promised = await ApproveAsync(guild, waiting, room.Coordinator);
        Refuse.Rule("held-more", promised);
        Assert.Contains("160 g of Mia Member (R-", promised.Refusal.ToString(), StringComparison.Ordinal);

        await guild.DoAsync<Web.Features.Holds.CancelHold, bool>(u => u.RunAsync(room.Volunteer, held, Cancellation));
        Assert.True((await ApproveAsync(guild, waiting, room.Coordinator)).IsOk);
        Assert.Equal(150_000, (await room.LookAsync(lot)).OnHandMg);
    }

    /// <summary>A weighing books the same gap that waits for a second person; approving would book it twice.</summary>
    [Theory]
    [InlineData(260, "Lot {0} was weighed since it was counted: 40 g were taken off then.")]
    [InlineData(290, "Lot {0} was weighed since it was counted: 10 g were taken off then.")]
    [InlineData(304, "Lot {0} was weighed since it was counted: 4 g were added then.")]
    public async Task Approve_WhenTheLotWasWeighedMeanwhile_IsRefused(int shown, string since)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        Assert.Equal(CountOutcome.Asked, (await CountAsync(room.Guild, bin, null, (lot, 260))).Value.Outcome);
        Assert.Null((await room.Guild.DoAsync<WeighLot, WeighedLot>(u => u.RunAsync(room.Volunteer, lot.Id, shown, 1, Cancellation))).ApprovalId);

        ApprovalView waiting = await WaitingAsync(room.Guild);
        string sentence = since.Replace("{0}", lot.Display, StringComparison.Ordinal);
        Assert.Equal(sentence, waiting.Since[^1].ToString());
        Outcome<Decided> approved = await ApproveAsync(room.Guild, waiting, room.Coordinator);
        Refuse.Rule("corrected-since", approved);
        Assert.Equal($"{sentence} Decline this; where a difference is left, count again.", approved.Refusal.ToString());
        Assert.Equal(shown * 1000, (await room.LookAsync(lot)).OnHandMg);
    }

    /// <summary>A weighing that began before the count has the earlier time and is booked after it; the order of writing tells.</summary>
    [Fact]
    public async Task Approve_WhenTheWeighingBeganBeforeTheCountEnded_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        Assert.True((await CountAsync(room.Guild, bin, null, (lot, 260))).IsOk);
        await room.OwnerSqlAsync($"insert into movement (id, from_kind, from_id, to_kind, mg, reason, note, lot_id, bag_id, at, by_id) select gen_random_uuid(), 'Bin', bin_id, 'Adjustment', 40000, 'WeighingDifference', '', id, bag_id, now() - interval '1 minute', created_by_id from lot where id = {lot.Id}");

        Refuse.Rule("corrected-since", await ApproveAsync(room.Guild, await WaitingAsync(room.Guild), room.Coordinator));
        Assert.Equal(260_000, (await room.LookAsync(lot)).OnHandMg);
    }

    /// <summary>What nobody found was written off as lost meanwhile; waste is another thing and does not hinder.</summary>
    [Theory]
    [InlineData(WriteOffTo.Lost, false)]
    [InlineData(WriteOffTo.Waste, true)]
    public async Task Approve_WhenSomeWasWrittenOffMeanwhile_IsRefusedWhereItWasLost(WriteOffTo to, bool booked)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        Assert.True((await CountAsync(room.Guild, bin, null, (lot, 260))).IsOk);
        await room.Guild.DoAsync<WriteOffLot, WroteOff>(u => u.RunAsync(room.Volunteer, lot.Id, new WriteOffInput(40, to, "Nobody finds it."), Cancellation));

        Outcome<Decided> approved = await ApproveAsync(room.Guild, await WaitingAsync(room.Guild), room.Coordinator);

        Assert.Equal(booked, approved.IsOk);
        Assert.Equal(booked ? 220_000 : 260_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Approve_WhenTheLotWasCountedAgain_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        Assert.True((await CountAsync(room.Guild, bin, null, (lot, 200))).IsOk);
        ApprovalView waiting = await WaitingAsync(room.Guild);

        Assert.Equal(CountOutcome.Agrees, (await CountAsync(room.Guild, bin, null, (lot, 300))).Value.Outcome);

        Refuse.Rule("counted-since", await ApproveAsync(room.Guild, waiting, room.Coordinator));
        Assert.Equal($"Lot {lot.Display} was counted again since: 300 g found.", Assert.Single((await WaitingAsync(room.Guild)).Since).ToString());
        Assert.Equal(300_000, (await room.LookAsync(lot)).OnHandMg);
    }

    /// <summary>A whole bin that differs asks nobody, since the difference belongs to no lot; what its lots then differ by does.</summary>
    [Fact]
    public async Task Finish_WhenTheWholeBinDiffers_GoesLotByLotToASecondPerson()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await WithTareAsync(guild, await guild.BinAsync("Blues"), 400);
        LotView whole = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        LotView short100 = await room.LotAsync(200, l => l with { BinCode = bin.Code });

        Assert.Equal(CountOutcome.Differs, (await WholeAsync(guild, bin, 800)).Outcome);
        Assert.Empty((await guild.DoAsync<ApprovalReader, ApprovalDesk>(u => u.WaitingAsync(room.Coordinator, new PageRequest(), Cancellation))).Waiting.Items);
        Assert.Equal(0, await room.AskAsync(db => db.Movements.CountAsync(m => m.CountId != null, Cancellation)));
        PlannedBin first = (await guild.DoAsync<CountPlanReader, IReadOnlyList<PlannedBin>>(u => u.RunAsync(room.Volunteer, Cancellation)))[0];
        Assert.Equal((bin.Code, true), (first.Code, first.Differs));

        CountResult lots = (await CountAsync(guild, bin, null, (whole, 300), (short100, 100))).Value;
        Assert.Equal(CountOutcome.Asked, lots.Outcome);
        Assert.Equal(200_000, (await room.LookAsync(short100)).OnHandMg);
        Refuse.Rule("second-person-is-another", await ApproveAsync(guild, await WaitingAsync(guild), room.Volunteer));
        Assert.True((await ApproveAsync(guild, await WaitingAsync(guild), room.Coordinator)).IsOk);

        Assert.Equal((300_000L, 100_000L), ((await room.LookAsync(whole)).OnHandMg, (await room.LookAsync(short100)).OnHandMg));
        Assert.False((await guild.DoAsync<CountPlanReader, IReadOnlyList<PlannedBin>>(u => u.RunAsync(room.Volunteer, Cancellation)))[0].Differs);
    }

    [Fact]
    public async Task Finish_WhenSmallDifferencesGoTheSameWay_AsksForTheirSum()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code, ScaleDivisionGrams = 1 });

        // Computed: one count may be off by 3.464 g and 3 g for moisture, and so may their sum.
        Assert.Equal(CountOutcome.Booked, (await CountAsync(room.Guild, bin, null, (lot, 297))).Value.Outcome);
        Assert.Equal(CountOutcome.Booked, (await CountAsync(room.Guild, bin, null, (lot, 294))).Value.Outcome);
        CountResult third = (await CountAsync(room.Guild, bin, null, (lot, 291))).Value;

        CountedLotView line = Assert.Single(third.Lots);
        Assert.Equal((CountOutcome.Asked, true, -9_000L), (line.Outcome, line.IsDrift, line.DriftMg!.Value));
        Assert.Equal(294_000, (await room.LookAsync(lot)).OnHandMg);
        ApprovalView waiting = await WaitingAsync(room.Guild);
        Assert.EndsWith("and its counts add up to -9 g.", waiting.Sentence.ToString(), StringComparison.Ordinal);
        Assert.True((await ApproveAsync(room.Guild, waiting, room.Coordinator)).IsOk);

        Assert.Equal(CountOutcome.Booked, (await CountAsync(room.Guild, bin, null, (lot, 288))).Value.Outcome);
    }

    [Fact]
    public async Task Finish_WhenMoreIsPromisedThanWasFound_NamesWhoseHoldsAreHit()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(100, l => l with { BinCode = bin.Code });
        await room.HoldAsync(lot, 70);
        await room.HoldAsync(lot, 20, by: room.OtherMember);
        string year = $"R-{DateTime.UtcNow.Year}";

        Outcome<CountResult> refused = await CountAsync(room.Guild, bin, null, (lot, 60));

        Assert.Equal(
            $"90 g of lot {lot.Display} are promised, more than was found: 70 g of Mia Member ({year}-0001), 20 g of Otto Other ({year}-0002). "
            + "First cancel a request under Hand-over, or put a kit back on the kit's own page. What you weighed stays in this count: compare again after that.",
            refused.Refusal.ToString());
        Assert.Equal($"count-{lot.Code}", refused.Refusal.Field);
    }

    [Fact]
    public async Task WholeBin_WithinTolerance_BooksNothingAndBeyondComesFirstInThePlan()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await WithTareAsync(guild, await guild.BinAsync("Blues"), 1_200);
        BinView busy = await guild.BinAsync("Reds");
        for (int i = 0; i < 4; i++)
        {
            await room.LotAsync(250, l => l with { BinCode = bin.Code, ScaleDivisionGrams = 1 });
            await room.LotAsync(250, l => l with { BinCode = busy.Code });
        }

        LotView more = await room.LotAsync(250, l => l with { BinCode = busy.Code });

        // Computed: 3·√(4/6 + 2/12 + 4) + 10 ‰ of 1 kg = 6.595 + 10 g.
        CountResult agrees = await WholeAsync(guild, bin, 2_185);
        Assert.Equal((CountOutcome.Agrees, 1_000_000L, 985_000L, 16_595L), (agrees.Outcome, agrees.BookMg, agrees.FoundMg, agrees.ToleranceMg));
        Assert.Equal(1_000_000, (await guild.DoAsync<BinReader, BinView>(u => u.ByCodeAsync(room.Member, bin.Code, Cancellation))).Mg);
        Assert.Equal([busy.Code], (await PlanAsync(guild)).Take(1).Select(p => p.Code));
        Assert.Equal(0, (await PlanAsync(guild)).Single(p => p.Code == bin.Code).Movements);

        CountResult differs = await WholeAsync(guild, bin, 2_140);
        Assert.Equal(CountOutcome.Differs, differs.Outcome);
        PlannedBin first = (await PlanAsync(guild))[0];
        Assert.Equal((bin.Code, true), (first.Code, first.Differs));
        await room.TakenHomeAsync(more, 20);
        PlannedBin second = (await PlanAsync(guild))[1];
        Assert.Equal((busy.Code, 6), (second.Code, second.Movements));
    }

    [Fact]
    public async Task WholeBin_WhenTheTareIsNotKnownOrALotUnweighed_SaysWhatToDo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await guild.BinAsync("Blues");
        await room.LotAsync(null, l => l with { BinCode = bin.Code });
        Guid count = await guild.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Volunteer, bin.Code, Cancellation));
        await guild.DoAsync<SaveCount, bool>(u => u.HowAsync(room.Volunteer, count, new CountHow(CountWay.WholeBin, null, 900), Cancellation));

        Assert.StartsWith("Nobody noted what bin", (await FinishAsync(guild, count)).Refusal.ToString(), StringComparison.Ordinal);
        BinView tared = await WithTareAsync(guild, bin, 1_200);
        Assert.StartsWith("900 g is less than the empty bin weighs (1200 g).", (await FinishAsync(guild, count)).Refusal.ToString().Replace(",", "", StringComparison.Ordinal).Replace("1.2 kg", "1200 g", StringComparison.Ordinal), StringComparison.Ordinal);
        await guild.DoAsync<SaveCount, bool>(u => u.HowAsync(room.Volunteer, count, new CountHow(CountWay.WholeBin, null, 1_300), Cancellation));
        Refuse.Rule("mass-unknown", await FinishAsync(guild, count));
        Assert.Equal(1_200_000, tared.TareMg);
    }

    [Fact]
    public async Task Count_OnceEnded_IsNeverRewritten()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(300, l => l with { BinCode = bin.Code });
        Assert.True((await CountAsync(room.Guild, bin, null, (lot, 299))).IsOk);

        await Assert.ThrowsAsync<PostgresException>(() => room.OwnerSqlAsync($"update bin_count set found_mg = 300000"));
        await Assert.ThrowsAsync<PostgresException>(() => room.OwnerSqlAsync($"delete from bin_count"));
        BinCount kept = await room.AskAsync(db => db.BinCounts.Include(c => c.Lines).AsNoTracking().SingleAsync(Cancellation));
        Assert.Equal((299_000L, 1), (kept.FoundMg!.Value, kept.Lines.Count));
    }

    private static Task<Outcome<CountResult>> FinishAsync(GuildRoom room, Guid count) => room.UseAsync<FinishCount, Outcome<CountResult>>(u => u.RunAsync(room.Volunteer, count, Cancellation));

    private static Task<IReadOnlyList<PlannedBin>> PlanAsync(GuildRoom room) => room.DoAsync<CountPlanReader, IReadOnlyList<PlannedBin>>(u => u.RunAsync(room.Volunteer, Cancellation));
}
