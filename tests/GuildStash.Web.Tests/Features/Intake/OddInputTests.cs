using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Intake;

public sealed class OddInputTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task InvalidBag_WhenGrossAndTareDifferByLessThanAMilligram_NamesTheTare()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Outcome<LoggedGift> outcome = await room.UseAsync<LogGift, Outcome<LoggedGift>>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(20.0000001m, 20, [])] }, Cancellation));
        Assert.Equal("bags[0].tareGrams", outcome.Refusal.Field);
    }

    [Fact]
    public async Task InvalidDivision_WhenCoarserThanTheMass_NamesTheScale()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, [])] }, Cancellation));
        Outcome<LotView> outcome = await room.UseAsync<AddLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = 5, ScaleDivisionGrams = 500 }, Cancellation));
        Assert.Equal("scaleDivisionGrams", outcome.Refusal.Field);
    }

    // U+202E turns the direction of all that follows on the line.
    [Theory]
    [InlineData("Ada \u202eevil")]
    [InlineData("Ada \u2066evil")]
    [InlineData("Ada \u0007evil")]
    public void InvalidText_WhenItTurnsTheTextAroundIt_IsRefused(string name)
    {
        Check check = new();
        check.Text(name, "donorName", 200);
        Assert.Equal("donorName", Assert.Single(check.Refusals).Field);
    }

    [Fact]
    public async Task SortedMass_WhenYarnHasLeftTheRoom_StaysWhatWasSorted()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(500, 0, [])] }, Cancellation));
        Guid bag = gift.Bags[0].Id;
        LotView lot = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 150 }, Cancellation));
        LotView mistake = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 77 }, Cancellation));
        await room.DoAsync<UndoLot, bool>(u => u.RunAsync(room.Volunteer, mistake.Id, Cancellation));
        await room.DoAsync<HandOverYarn, HandedOver>(u => u.RunAsync(room.Volunteer, new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 100), Cancellation));
        await room.DoAsync<CloseBag, ClosedBag>(u => u.RunAsync(room.Volunteer, bag, Cancellation));
        GiftView view = await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(room.Volunteer, gift.Id, Cancellation));
        Assert.Equal(150_000, Assert.Single(view.Bags).SortedMg);
    }
}
