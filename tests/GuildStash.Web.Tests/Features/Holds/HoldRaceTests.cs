using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Holds;

/// <summary>Many people want the same yarn at once.</summary>
public sealed class HoldRaceTests(PostgresFixture postgres)
{
    private const int People = 30;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Reserve_WhenThirtyAskAtOnce_PromisesWhatIsThereAndNoMore()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);

        Outcome<PlacedRequest>[] all = await Task.WhenAll(Enumerable.Range(0, People)
            .Select(i => Task.Run(() => room.TryHoldAsync(i % 2 == 0 ? room.Member : room.OtherMember, new HoldInput([new(lot.Code, 10, null)])), Cancellation)));

        Assert.Equal(15, all.Count(o => o.IsOk));
        Assert.All(all.Where(o => !o.IsOk), o => Refuse.Rule("not-enough-free", o));
        Assert.Equal((150_000, 0), ((await room.LookAsync(lot)).HeldMg, (await room.LookAsync(lot)).FreeMg));
        Assert.Equal(15, await room.AskAsync(db => db.HoldRequests.Select(r => r.Number).Distinct().CountAsync(Cancellation)));
    }

    [Fact]
    public async Task Take_WhenHoldsAndHandOversMeetOnOneLot_NeverExceedIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(155);

        bool[] taken = await Task.WhenAll(Enumerable.Range(0, People).Select(i => Task.Run(async () => i % 2 == 0
            ? (await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 10, null)]))).IsOk
            : (await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.OtherMember, Grams: 10, WholeLot: false))).IsOk)));

        LotView after = await room.LookAsync(lot);
        Assert.Equal(15, taken.Count(t => t));
        Assert.Equal(5_000, after.FreeMg);
        Assert.Equal(155_000 - after.OnHandMg!.Value, await room.BalanceAsync(lot, PlaceKind.Member));
    }

    [Fact]
    public async Task HandOver_WhenOneHoldIsHandedOverTwiceAtOnce_IsBookedOnce()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 30);

        Outcome<HandedOver>[] all = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => Task.Run(() => room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 30)))));

        Assert.Single(all, o => o.IsOk);
        Assert.All(all.Where(o => !o.IsOk), o => Refuse.Rule("hold-ended", o));
        Assert.Equal(70_000, (await room.LookAsync(lot)).OnHandMg);
    }

    [Fact]
    public async Task Reserve_WhenTwoLotsAreWantedInOppositeOrder_NobodyIsToldOfADeadlock()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView one = await room.LotAsync(1000);
        LotView two = await room.LotAsync(1000);

        Outcome<PlacedRequest>[] all = await Task.WhenAll(Enumerable.Range(0, People).Select(i => Task.Run(() =>
        {
            WantedYarn[] wanted = [new(one.Code, 10, null), new(two.Code, 10, null)];
            return room.TryHoldAsync(room.Member, new HoldInput(i % 2 == 0 ? wanted : [.. wanted.Reverse()]));
        })));

        Assert.All(all, o => Assert.True(o.IsOk, string.Join(" ", o.Refusals)));
        Assert.Equal(((long)People * 10_000, (long)People * 10_000), ((await room.LookAsync(one)).HeldMg, (await room.LookAsync(two)).HeldMg));
    }

    [Fact]
    public async Task Return_WhenTwoTakeBackTheSameYarnAtOnce_MoreThanWasTakenNeverComesBack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);

        Outcome<TakenBack>[] all = await Task.WhenAll(Enumerable.Range(0, 6).Select(_ => Task.Run(() => room.TryTakeBackAsync(taken.Id, new ReturnInput(25, [])))));

        Assert.Equal(2, all.Count(o => o.IsOk));
        Assert.All(all.Where(o => !o.IsOk), o => Refuse.Rule("more-than-taken", o));
        Assert.Equal(90_000, (await room.LookAsync(lot)).OnHandMg);
    }
}
