using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features;

/// <summary>The way of the yarn through the use cases, on a real database.</summary>
public sealed class MainJobTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Yarn_WhenDonatedSortedReservedTakenAndReturned_IsAlwaysInOnePlace()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer,
            new GiftInput { Bags = [new BagInput(1000, 50, [])] }, Cancellation));
        Assert.Equal($"D-{DateTime.UtcNow.Year}-0001", gift.Number);

        LotView lot = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id,
            new LotInput { Grams = 150, WeightClass = WeightClass.Aran, ColourHex = "#4f6d8f", Fibres = [new FibreInput("WO", 100)], FibreBasis = FibreBasis.BandSeen }, Cancellation));
        Assert.Equal(255.0, lot.MetresLow!.Value / 0.9144, 6);
        Assert.Equal(LotStatus.Available, lot.Status);

        PlacedRequest request = await room.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(room.Member,
            new HoldInput([new WantedYarn(lot.Display, 60, null)]), Cancellation));
        HandedOver taken = await room.DoAsync<HandOverYarn, HandedOver>(u => u.RunAsync(room.Volunteer, new HandOverInput(request.Holds[0].Id, Grams: 58), Cancellation));
        TakenBack back = await room.DoAsync<TakeBack, TakenBack>(u => u.RunAsync(room.Volunteer, taken.Id, new ReturnInput(20, []), Cancellation));
        Assert.True(back.IsFree);
        Assert.Equal(38_000, back.StillAtHomeMg);

        ClosedBag closed = await room.DoAsync<CloseBag, ClosedBag>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, Cancellation));
        Assert.Equal(800_000, closed.DifferenceMg);

        LotView after = await room.DoAsync<InventoryReader, LotView>(u => u.LotAsync(room.Member, lot.Code, Cancellation));
        Assert.Equal(112_000, after.OnHandMg);
        Assert.Equal(112_000, after.FreeMg);
        await using var db = room.Look();
        Assert.Equal(0, await db.Bags.SumAsync(b => b.UnsortedMg, Cancellation));
    }
}
