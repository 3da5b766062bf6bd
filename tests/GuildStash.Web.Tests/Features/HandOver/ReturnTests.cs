using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>Leftovers come back against weight and are free only after somebody looked at them.</summary>
public sealed class ReturnTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task TakeBack_WhenLookedAtAndNothingFound_IsFreeAtOnce()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);

        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(25, []))).Value;

        Assert.Equal((25_000, true, 35_000), (back.Mg, back.IsFree, back.StillAtHomeMg));
        Assert.Equal((65_000, 65_000), ((await room.LookAsync(lot)).OnHandMg!.Value, (await room.LookAsync(lot)).FreeMg));
        Assert.Empty((await ReturnsAsync(room)).Items);
        Assert.Null((await room.CheckoutRowAsync(taken.Id)).ClosedAt);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("smoke")]
    [InlineData("insects")]
    public async Task TakeBack_WhenNobodyLookedOrSomethingWasFound_WaitsInQuarantine(string? condition)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);

        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(25, condition is null ? null : [condition]))).Value;

        Assert.False(back.IsFree);
        LotView after = await room.LookAsync(lot);
        Assert.Equal((65_000, 25_000, 40_000), (after.OnHandMg, after.QuarantinedMg, after.FreeMg));
        WaitingReturn waits = Assert.Single((await ReturnsAsync(room)).Items);
        Assert.Equal((back.Id, 25_000, condition is not null), (waits.ReturnId, waits.Mg, waits.WasLookedAt));
        Assert.Equal(condition is null ? [] : [condition], waits.Conditions);
        Refuse.Rule("not-enough-free", await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.OtherMember, Grams: 50)));
    }

    [Fact]
    public async Task Inspect_WhenItPasses_IsFreeAndItsSmellStaysNoted()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(25, ["petHair"]))).Value;

        Assert.True((await InspectAsync(room, back.Id, new ReturnInspection(true, "aired for a week"))).IsOk);

        LotView after = await room.LookAsync(lot);
        Assert.Equal((65_000, Conditions.PetHair), (after.FreeMg, after.Conditions));
        LotReturn row = await ReturnRowAsync(room, back.Id);
        Assert.Equal((room.Volunteer, "aired for a week", Conditions.PetHair), (row.SettledById, row.InspectionNote, row.Conditions));
        Refuse.Rule("return-settled", await InspectAsync(room, back.Id, new ReturnInspection(false, "again")));
    }

    [Fact]
    public async Task Inspect_WhenFoundCleanAfterAll_NotesNothingOnTheLot()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(25, ["insects"]))).Value;

        Refuse.Rule("invalid-value", "conditions", await InspectAsync(room, back.Id, new ReturnInspection(true, "")));
        Assert.True((await InspectAsync(room, back.Id, new ReturnInspection(true, "frozen, inspected, clean", []))).IsOk);

        Assert.Equal(Conditions.None, (await room.LookAsync(lot)).Conditions);
    }

    [Fact]
    public async Task Inspect_WhenItFails_IsThrownAwayWithAReason()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(60);
        HandedOver taken = await room.HandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 60, WholeLot: true));
        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(25, ["mould"]))).Value;
        Assert.NotEqual(LotStatus.Closed, (await room.LookAsync(lot)).Status);

        Refuse.Rule("invalid-value", "note", await InspectAsync(room, back.Id, new ReturnInspection(false, " ")));
        Assert.True((await InspectAsync(room, back.Id, new ReturnInspection(false, "mould all through"))).IsOk);

        Assert.Equal(25_000, await room.BalanceAsync(lot, PlaceKind.Waste));
        LotView after = await room.LookAsync(lot);
        Assert.Equal((LotStatus.Closed, Conditions.None), (after.Status, after.Conditions));
    }

    [Theory]
    [InlineData("mould")]
    [InlineData("damp")]
    [InlineData("insects")]
    public async Task Invalid_WhenItStillHasSigns_CanNotPass(string condition)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        HandedOver taken = await room.TakenHomeAsync(await room.LotAsync(100), 60);
        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(25))).Value;

        Refuse.Rule("invalid-value", "conditions", await InspectAsync(room, back.Id, new ReturnInspection(true, "", [condition])));
        Assert.Null((await ReturnRowAsync(room, back.Id)).SettledAt);
    }

    [Fact]
    public async Task TakeBack_WhenTheLotIsClosed_OpensItAgain()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(60);
        HandedOver taken = await room.HandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 60, WholeLot: true));

        await room.TryTakeBackAsync(taken.Id, new ReturnInput(20, []));

        LotView after = await room.LookAsync(lot);
        Assert.Equal((LotStatus.Available, 20_000), (after.Status, after.FreeMg));
    }

    [Fact]
    public async Task TakeBack_WhenTheLotsBinWasClosedMeanwhile_GoesToTheSortingTable()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView bin = await room.Guild.DoAsync<CreateBin, BinView>(u => u.RunAsync(room.Volunteer, new BinInput("Blue aran", BinKind.Shelf, null, "shelf 2", 40, null), Cancellation));
        LotView free = await room.LotAsync(60, l => l with { BinCode = bin.Code });
        LotView waits = await room.LotAsync(60, l => l with { BinCode = bin.Code });
        HandedOver first = await room.HandOverAsync(new HandOverInput(LotCode: free.Code, MemberId: room.Member, Grams: 60, WholeLot: true));
        HandedOver second = await room.HandOverAsync(new HandOverInput(LotCode: waits.Code, MemberId: room.Member, Grams: 60, WholeLot: true));
        await room.Guild.DoAsync<CloseBin, bool>(u => u.RunAsync(room.Volunteer, bin.Id, true, Cancellation));

        Assert.True((await room.TryTakeBackAsync(first.Id, new ReturnInput(20, []))).Value.IsFree);
        TakenBack back = (await room.TryTakeBackAsync(second.Id, new ReturnInput(20))).Value;
        Assert.True((await InspectAsync(room, back.Id, new ReturnInspection(true, ""))).IsOk);

        Assert.Equal(["Sorting table", "Sorting table"], new[] { (await room.LookAsync(free)).BinName, (await room.LookAsync(waits)).BinName });
    }

    [Fact]
    public async Task TakeBack_WhenTheLotIsInQuarantine_WaitsThereAndCanOnlyBeThrownAway()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        await room.Guild.DoAsync<QuarantineLot, bool>(u => u.RunAsync(room.Volunteer, lot.Id, "a moth sat on it", null, Cancellation));

        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(30, []))).Value;

        Assert.False(back.IsFree);
        Refuse.Rule("lot-in-quarantine", await InspectAsync(room, back.Id, new ReturnInspection(true, "")));
        Assert.True((await InspectAsync(room, back.Id, new ReturnInspection(false, "webbing"))).IsOk);
        LotView after = await room.LookAsync(lot);
        Assert.Equal((40_000, 40_000), (after.OnHandMg, after.QuarantinedMg));
    }

    [Fact]
    public async Task TakeBack_WhenALittleMoreComesBackThanWasTaken_BooksTheWeighingDifference()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);

        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(65, []))).Value;

        Assert.Equal((65_000, 0), (back.Mg, back.StillAtHomeMg));
        Assert.Equal(-5_000, await room.BalanceAsync(lot, PlaceKind.Adjustment));
        Assert.NotNull((await room.CheckoutRowAsync(taken.Id)).ClosedAt);
    }

    [Fact]
    public async Task Invalid_WhenMuchMoreComesBackThanWasTaken_IsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);

        Refuse.Rule("more-than-taken", "grams", await room.TryTakeBackAsync(taken.Id, new ReturnInput(65.001m, [])));
        foreach (decimal? grams in new decimal?[] { null, 0, -3, 26_000 })
        {
            Refuse.Rule("invalid-value", "grams", await room.TryTakeBackAsync(taken.Id, new ReturnInput(grams, [])));
        }

        Refuse.Rule("invalid-value", "conditions", await room.TryTakeBackAsync(taken.Id, new ReturnInput(10, ["glitter"])));
        Refuse.Rule("not-found", await room.TryTakeBackAsync(Guid.NewGuid(), new ReturnInput(10, [])));
        Assert.Equal(60_000, (await room.CheckoutRowAsync(taken.Id)).AtHomeMg);
    }

    [Fact]
    public async Task TakeBack_WhenThatIsAllThatIsLeft_BooksTheRestAsUsedAndClosesTheCheckout()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync();
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60, project);

        TakenBack back = (await room.TryTakeBackAsync(taken.Id, new ReturnInput(20, [], IsAll: true))).Value;

        Assert.Equal(0, back.StillAtHomeMg);
        Assert.Equal(40_000, await room.BalanceAsync(lot, PlaceKind.Project));
        Refuse.Rule("checkout-closed", await room.TryTakeBackAsync(taken.Id, new ReturnInput(1, [])));
    }

    [Fact]
    public async Task TakeBack_WhenTheMembersAccountIsDisabled_StillComesBack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver taken = await room.TakenHomeAsync(lot, 60);
        await room.DisableAsync(room.Member);

        Assert.True((await room.TryTakeBackAsync(taken.Id, new ReturnInput(60, []))).IsOk);
        Assert.Equal(100_000, (await room.LookAsync(lot)).FreeMg);
    }

    private static Task<Outcome<InspectedReturn>> InspectAsync(DeskRoom room, Guid id, ReturnInspection inspection) =>
        room.Guild.UseAsync<InspectReturn, Outcome<InspectedReturn>>(u => u.RunAsync(room.Volunteer, id, inspection, Cancellation));

    private static Task<PageOf<WaitingReturn>> ReturnsAsync(DeskRoom room) =>
        room.Guild.DoAsync<HandOverReader, PageOf<WaitingReturn>>(u => u.ReturnsAsync(room.Volunteer, new PageRequest(1), Cancellation));

    private static Task<LotReturn> ReturnRowAsync(DeskRoom room, Guid id) => room.AskAsync(db => db.LotReturns.AsNoTracking().SingleAsync(r => r.Id == id, Cancellation));
}
