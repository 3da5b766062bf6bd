using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Tests.Support;
using Xunit;
using static GuildStash.Web.Tests.Features.Kits.KitRoom;

namespace GuildStash.Web.Tests.Features.Kits;

/// <summary>Several people at one kit.</summary>
public sealed class KitCrowdTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Weigh_WhenEveryLineIsWeighedAtOnce_TheKitIsPackedAndNoMoreIsHeldThanThereIs()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView shared = await room.Desk.LotAsync(100);
        LotView other = await room.Desk.LotAsync(100);
        KitView kit = await room.KitAsync([(shared, 30), (other, 30), (shared, 30), (other, 30)]);

        Outcome<WeighedLine>[] all = await Task.WhenAll(kit.Lines.Select(line => Task.Run(() => room.WeighAsync(line, 35), Cancellation)));

        Assert.All(all, o => Assert.True(o.IsOk, string.Join(" ", o.Refusals)));
        Assert.Single(all, o => o.Value.IsPacked);
        KitView packed = await room.LookAsync(kit.Number);
        Assert.Equal((KitState.Packed, 4), (packed.State, packed.Weighed));
        Assert.Equal((70_000, 70_000), ((await room.Desk.LookAsync(shared)).HeldMg, (await room.Desk.LookAsync(other)).HeldMg));
    }

    [Fact]
    public async Task Weigh_WhenTwoLinesWantTheSameRest_OneOfThemGetsIt()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView lot = await room.Desk.LotAsync(100);
        KitView kit = await room.KitAsync([(lot, 40), (lot, 40)]);

        Outcome<WeighedLine>[] all = await Task.WhenAll(kit.Lines.Select(line => Task.Run(() => room.WeighAsync(line, 60), Cancellation)));

        Refuse.Rule("not-enough-free", Assert.Single(all, o => !o.IsOk));
        Assert.Equal(100_000, (await room.Desk.LookAsync(lot)).HeldMg);
    }

    [Fact]
    public async Task HandOver_WhenTwoDesksDoItAtOnce_ItGoesHomeOnceAndStartsOnce()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        LotView one = await room.Desk.LotAsync(100);
        LotView two = await room.Desk.LotAsync(100);
        KitView kit = await room.KitAsync([(one, 30), (two, 30)], 2, room.Desk.Member);
        Ok(await room.WeighAsync(kit.Lines[0], 30));
        Ok(await room.WeighAsync(kit.Lines[1], 30));

        Outcome<int>[] all = await Task.WhenAll(Enumerable.Range(0, 6).Select(_ => Task.Run(() => room.HandOverAsync(kit), Cancellation)));

        Assert.Single(all, o => o.IsOk);
        Assert.All(all.Where(o => !o.IsOk), o => Refuse.Rule("hold-ended", o));
        Assert.Equal((70_000, 70_000), ((await room.Desk.LookAsync(one)).OnHandMg, (await room.Desk.LookAsync(two)).OnHandMg));
        Assert.Equal(2, Assert.Single(await room.RecordsAsync()).Pieces);
    }

    [Fact]
    public async Task HandOver_WhenTheLinesGoOverTwoDesksAtOnce_TheKitStartsOnce()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(100), 30), (await room.Desk.LotAsync(100), 30), (await room.Desk.LotAsync(100), 30)], 2, room.Desk.Member);

        Outcome<HandedOver>[] all = await Task.WhenAll(kit.Lines.Select(line => Task.Run(() => room.Desk.TryHandOverAsync(new HandOverInput(line.HoldId, Grams: 30)), Cancellation)));

        Assert.All(all, o => Assert.True(o.IsOk, string.Join(" ", o.Refusals)));
        Assert.Single(await room.RecordsAsync());
    }

    [Fact]
    public async Task Take_WhenManyWantTheKit_OneGetsIt()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        KitView kit = await room.KitAsync([(await room.Desk.LotAsync(100), 30)]);

        Outcome<bool>[] all = await Task.WhenAll(Enumerable.Range(0, 8).Select(i => Task.Run(
            () => room.UseAsync<TakeKit, bool>(u => u.RunAsync(i % 2 == 0 ? room.Desk.Member : room.Desk.OtherMember, kit.Id, Cancellation)), Cancellation)));

        Assert.Single(all, o => o.IsOk);
    }

    [Fact]
    public async Task Deliver_WhenManyWriteItDownAtOnce_NoMoreThanWereFinished()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        Ok(await room.RecordAsync(PieceStep.Finished, 5));

        Outcome<RecordedPieces>[] all = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => Task.Run(() => room.RecordAsync(PieceStep.Delivered, 1), Cancellation)));

        Assert.Equal(5, all.Count(o => o.IsOk));
        Assert.Equal(5, (await room.ProgressAsync()).Delivered);
    }
}
