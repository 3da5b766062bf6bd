using GuildStash.Data.Counting;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Counting;

/// <summary>While somebody counts a bin nothing leaves or enters it, on a real database.</summary>
public sealed class FrozenBinTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static Task<Outcome<Guid>> TryBeginAsync(GuildRoom room, string bin, Guid? by = null) =>
        room.UseAsync<BeginCount, Outcome<Guid>>(u => u.RunAsync(by ?? room.Volunteer, bin, Cancellation));

    private static async Task<Guid> BeginAsync(GuildRoom room, string bin, Guid? by = null)
    {
        Outcome<Guid> begun = await TryBeginAsync(room, bin, by);
        Assert.True(begun.IsOk, string.Join(" ", begun.Refusals));
        return begun.Value;
    }

    private static Task<Outcome<bool>> LeaveAsync(GuildRoom room, Guid count, Guid by) => room.UseAsync<LeaveCount, Outcome<bool>>(u => u.RunAsync(by, count, Cancellation));

    private static async Task<BinCount> RowAsync(DeskRoom room, Guid count) => await room.AskAsync(db => db.BinCounts.AsNoTracking().SingleAsync(c => c.Id == count, Cancellation));

    [Fact]
    public async Task Move_WhenTheBinIsBeingCounted_IsRefusedWhicheverWayAndHoldsAreNot()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await guild.BinAsync("Blues");
        BinView other = await guild.BinAsync("Reds");
        LotView lot = await room.LotAsync(200, l => l with { BinCode = bin.Code });
        LotView elsewhere = await room.LotAsync(100, l => l with { BinCode = other.Code });
        HandedOver home = await room.TakenHomeAsync(lot, 50);
        Guid count = await BeginAsync(guild, bin.Code);

        Outcome<HandedOver> handed = await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 20));
        Refuse.Rule(CountRules.Frozen, handed);
        Assert.StartsWith($"Vera Volunteer has been counting bin {bin.Display} since ", handed.Refusal.ToString(), StringComparison.Ordinal);
        Refuse.Rule(CountRules.Frozen, await room.TryTakeBackAsync(home.Id, new ReturnInput(10, [])));
        Refuse.Rule(CountRules.Frozen, await guild.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, bin.Code, [elsewhere.Code], Cancellation)));
        Refuse.Rule(CountRules.Frozen, await guild.UseAsync<MoveLots, Outcome<MovedLots>>(u => u.RunAsync(room.Volunteer, other.Code, [lot.Code], Cancellation)));
        Refuse.Rule(CountRules.Frozen, await guild.UseAsync<QuarantineLot, Outcome<bool>>(u => u.RunAsync(room.Volunteer, lot.Id, "larvae", null, Cancellation)));
        Refuse.Rule(CountRules.Frozen, await guild.UseAsync<WeighLot, Outcome<WeighedLot>>(u => u.RunAsync(room.Volunteer, lot.Id, 140, 1, Cancellation)));
        Guid bag = await guild.BagAsync();
        Refuse.Rule(CountRules.Frozen, await guild.UseAsync<AddLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, bag, new LotInput { MassUnknown = true, BinCode = bin.Code }, Cancellation)));
        Refuse.Rule(CountRules.Frozen, await guild.UseAsync<CountBin, Outcome<CountedBin>>(u => u.RunAsync(room.Coordinator, bin.Code, [new CountedLot(lot.Code, 150)], Cancellation)));
        await room.HoldAsync(lot, 30);
        Assert.Equal(150_000, (await room.LookAsync(lot)).OnHandMg);

        Assert.True((await LeaveAsync(guild, count, room.Volunteer)).IsOk);
        await room.TakenHomeAsync(lot, 20);
        Assert.Equal(CountOutcome.LeftOff, (await RowAsync(room, count)).Outcome);
    }

    [Fact]
    public async Task Begin_WhenSomebodyCounts_SaysWhoAndTheCounterGoesOn()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        BinView bin = await guild.BinAsync("Blues");
        Guid second = await guild.AddPersonAsync("Wim Volunteer", "wim@example.org", Role.Volunteer);
        Guid count = await BeginAsync(guild, bin.Code);

        Assert.Equal(count, await BeginAsync(guild, bin.Display));
        Refuse.Rule(CountRules.Frozen, await TryBeginAsync(guild, bin.Code, second));
        Refuse.Rule("count-is-anothers", await guild.UseAsync<SaveCount, Outcome<bool>>(u => u.HowAsync(second, count, new CountHow(CountWay.LotByLot, null, null), Cancellation)));
        Assert.Equal(RefusalKind.Forbidden, (await LeaveAsync(guild, count, second)).Refusal.Kind);
        Assert.Equal(RefusalKind.Forbidden, (await TryBeginAsync(guild, bin.Code, room.Member)).Refusal.Kind);
        Assert.True((await LeaveAsync(guild, count, room.Coordinator)).IsOk);
        Refuse.Rule("count-ended", await LeaveAsync(guild, count, room.Coordinator));
        await BeginAsync(guild, bin.Code, second);
    }

    [Fact]
    public async Task Count_WhenNobodyEndsIt_RunsOutByTheDatabasesClock()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView lot = await room.LotAsync(200, l => l with { BinCode = bin.Code });
        Guid count = await BeginAsync(room.Guild, bin.Code);
        Assert.Equal(TimeSpan.FromHours(CountRules.LapsesAfterHours), (await RowAsync(room, count)).LapsesAt - (await RowAsync(room, count)).BegunAt);
        await room.OwnerSqlAsync($"update bin_count set lapses_at = now() - interval '1 second' where id = {count}");

        await room.TakenHomeAsync(lot, 20);
        Refuse.Rule("count-lapsed", await room.Guild.UseAsync<SaveCount, Outcome<bool>>(u => u.LotAsync(room.Volunteer, count, lot.Code, 200, Cancellation)));
        Refuse.Rule("count-lapsed", await room.Guild.UseAsync<FinishCount, Outcome<CountResult>>(u => u.RunAsync(room.Volunteer, count, Cancellation)));
        Guid next = await BeginAsync(room.Guild, bin.Code, room.Coordinator);
        BinCount old = await RowAsync(room, count);
        Assert.Equal((CountOutcome.Lapsed, null), (old.Outcome, old.EndedById));
        Assert.NotEqual(count, next);
    }

    [Fact]
    public async Task ExtremeRace_WhenACountBeginsAmongHandOvers_NothingMovesAfterIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.BinAsync("Blues");
        LotView[] lots = [await room.LotAsync(500, l => l with { BinCode = bin.Code }), await room.LotAsync(500, l => l with { BinCode = bin.Code })];
        long taken = 0;
        int refused = 0;
        for (int round = 0; round < 6; round++)
        {
            Task<Outcome<HandedOver>>[] crowd =
            [
                .. Enumerable.Range(0, 12).Select(i => Task.Run(() => room.TryHandOverAsync(new HandOverInput(LotCode: lots[i % 2].Code, MemberId: room.Member, Grams: 1, WholeLot: false)), Cancellation)),
            ];
            Guid count = await BeginAsync(room.Guild, bin.Code);
            long begun = await OnHandAsync(room, lots);
            Outcome<HandedOver>[] handed = await Task.WhenAll(crowd);

            Assert.All(handed.Where(h => !h.IsOk), h => Assert.Equal(CountRules.Frozen, h.Refusal.Rule));
            Assert.Equal(begun, await OnHandAsync(room, lots));
            taken += handed.Where(h => h.IsOk).Sum(h => h.Value.Mg);
            refused += handed.Count(h => !h.IsOk);
            Assert.True((await LeaveAsync(room.Guild, count, room.Volunteer)).IsOk);
        }

        Assert.Equal(1_000_000 - taken, await OnHandAsync(room, lots));
        Assert.True(refused > 0, "No hand-over came after a count had begun.");
    }

    private static Task<long> OnHandAsync(DeskRoom room, LotView[] lots)
    {
        Guid[] ids = [.. lots.Select(l => l.Id)];
        return room.AskAsync(db => db.Lots.Where(l => ids.Contains(l.Id)).SumAsync(l => l.OnHandMg, Cancellation));
    }
}
