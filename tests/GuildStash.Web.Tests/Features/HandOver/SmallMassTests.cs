using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>What weighing error may explain is in proportion to what is weighed, and leftovers are shown where they lie.</summary>
public sealed class SmallMassTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task HandOver_WhenAScrapWeighsNearlyTwiceTheBooks_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView scrap = await room.LotAsync(5);
        Outcome<HandedOver> outcome = await room.TryHandOverAsync(new HandOverInput(LotCode: scrap.Code, MemberId: room.Member, Grams: 9));
        Assert.Equal("not-enough-free", outcome.Refusal.Rule);
        Outcome<HandedOver> whole = await room.TryHandOverAsync(new HandOverInput(LotCode: scrap.Code, MemberId: room.Member, Grams: 9, WholeLot: true));
        Assert.Equal("beyond-weighing-error", whole.Refusal.Rule);
    }

    [Fact]
    public async Task TakeBack_WhenAScrapComesBackHeavier_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        HandedOver taken = await room.TakenHomeAsync(await room.LotAsync(50), 1);
        Assert.Equal("more-than-taken", (await room.TryTakeBackAsync(taken.Id, new ReturnInput(5.9m, []))).Refusal.Rule);
    }

    [Fact]
    public async Task Bin_WhenLeftoversWaitInIt_ShowsThemAndStaysOpen()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        HandedOver taken = await room.TakenHomeAsync(await room.LotAsync(100), 60);
        Assert.True((await room.TryTakeBackAsync(taken.Id, new ReturnInput(20))).IsOk);
        IReadOnlyList<BinView> bins = await room.Guild.DoAsync<BinReader, IReadOnlyList<BinView>>(u => u.ListAsync(room.Member, false, Cancellation));
        BinView apart = Assert.Single(bins, b => b.Leftovers > 0);
        Assert.Equal((Data.Stock.BinKind.Quarantine, 1, 20_000, 20_000), (apart.Kind, apart.Leftovers, apart.LeftoversMg, apart.Mg));
        Assert.Equal("bin-not-empty", (await room.Guild.UseAsync<CloseBin, Outcome<bool>>(u => u.RunAsync(room.Volunteer, apart.Id, true, Cancellation))).Refusal.Rule);
        WaitingReturn waiting = Assert.Single((await room.Guild.DoAsync<HandOverReader, Web.Infrastructure.Work.PageOf<WaitingReturn>>(u => u.ReturnsAsync(room.Volunteer, new(1, 10), Cancellation))).Items);
        Assert.Equal(apart.Code, waiting.BinCode);
    }
}
