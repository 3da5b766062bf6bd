using GuildStash.Data;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Xunit;

namespace GuildStash.Web.Tests.Features.Intake;

/// <summary>Where the rest of a sorted bag goes, on a real database.</summary>
public sealed class CloseBagTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <summary>A bag of 1 kg with a lot of 800 g sorted out of it, so that 200 g are left.</summary>
    private static async Task<(LoggedGift Gift, Guid Bag)> SortedAsync(GuildRoom room, decimal lot = 800)
    {
        LoggedGift gift = await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(1000, 0, [])] }, Cancellation));
        await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, gift.Bags[0].Id, new LotInput { Grams = lot }, Cancellation));
        return (gift, gift.Bags[0].Id);
    }

    private static Task<Outcome<ClosedBag>> TryCloseAsync(GuildRoom room, Guid bag, RestTo to, string? note = null) =>
        room.UseAsync<CloseBag, Outcome<ClosedBag>>(u => u.RunAsync(room.Volunteer, bag, new RestInput(to, note), Cancellation));

    private static Task<Outcome<Decided>> ApproveAsync(GuildRoom room, Guid approval, string? seen = null) =>
        room.UseAsync<DecideApproval, Outcome<Decided>>(u => u.ApproveAsync(room.Coordinator, approval, seen, null, Cancellation));

    private static async Task<Bag> RowAsync(GuildRoom room, Guid bag)
    {
        await using GuildDbContext db = room.Look();
        return await db.Bags.AsNoTracking().SingleAsync(b => b.Id == bag, Cancellation);
    }

    private static async Task<Movement?> RestAsync(GuildRoom room, Guid bag)
    {
        await using GuildDbContext db = room.Look();
        await Books.AssertCleanAsync(db, Cancellation);
        Assert.All(await BookAudit.RunAsync(db, Cancellation), line => Assert.Empty(line.Faults));
        return await db.Movements.AsNoTracking().SingleOrDefaultAsync(m => m.BagId == bag && m.LotId == null && m.FromKind == PlaceKind.Bag, Cancellation);
    }

    [Fact]
    public async Task Add_WhenTheBagIsBeingClosed_WaitsAndIsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (LoggedGift gift, Guid bag) = await SortedAsync(room, 1000);
        await using GuildDbContext db = room.Look();
        await using IDbContextTransaction closing = await db.Database.BeginTransactionAsync(Cancellation);
        await db.Database.ExecuteSqlAsync($"select 1 from bag where id = {bag} for update", Cancellation);
        Task<Outcome<LotView>> add = Task.Run(() => room.UseAsync<AddLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 50 }, Cancellation)), Cancellation);
        await LockWait.ForAsync(room, db);
        Assert.False(add.IsCompleted);
        await db.Database.ExecuteSqlAsync($"update bag set closed_at = now(), closed_by_id = {room.Volunteer} where id = {bag}", Cancellation);
        await closing.CommitAsync(Cancellation);

        Assert.StartsWith($"Bag {gift.Number}/1 is closed.", (await add).Refusal.ToString(), StringComparison.Ordinal);
    }

    // What damp or moths came with does not leave by being called something else.
    [Fact]
    public async Task Close_WhenTheBagIsInQuarantine_ItsRestOnlyGoesToWaste()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000, "damp");

        Refuse.Rule("invalid-value", "restTo", await TryCloseAsync(room, bag, RestTo.PassedOn));
        Refuse.Rule("invalid-value", "restTo", await TryCloseAsync(room, bag, RestTo.Stuffing));
        Assert.True((await TryCloseAsync(room, bag, RestTo.Waste)).IsOk);
    }

    [Theory]
    [InlineData(RestTo.Waste, 800, PlaceKind.Waste, MovementReason.SortingDifference, FlowNodeKind.Waste)]
    [InlineData(RestTo.PassedOn, 800, PlaceKind.PassedOn, MovementReason.PassedOn, FlowNodeKind.PassedOn)]
    [InlineData(RestTo.Stuffing, 800, PlaceKind.Stuffing, MovementReason.UsedAsStuffing, FlowNodeKind.Stuffing)]
    [InlineData(RestTo.Lost, 950, PlaceKind.Lost, MovementReason.GoneMissing, FlowNodeKind.Lost)]
    public async Task Close_WhenTheRestWentSomewhere_BooksItThere(RestTo to, int lot, PlaceKind place, MovementReason reason, FlowNodeKind shown)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (LoggedGift gift, Guid bag) = await SortedAsync(room, lot);

        ClosedBag closed = (await TryCloseAsync(room, bag, to, " For the toy makers. ")).Value;

        long left = (1000 - lot) * 1000L;
        Assert.Equal((left, to, null), (closed.DifferenceMg, closed.To, closed.ApprovalId));
        Movement rest = (await RestAsync(room, bag))!;
        Assert.Equal((place, reason, left, "For the toy makers."), (rest.ToKind, rest.Reason, rest.Mg, rest.Note));
        Assert.Equal(0, (await RowAsync(room, bag)).UnsortedMg);
        BagView view = Assert.Single((await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(room.Volunteer, gift.Id, Cancellation))).Bags);
        Assert.Equal((true, reason, "For the toy makers."), (view.IsClosed, view.Rest!.Value, view.RestNote));
        FlowGraph flow = (await room.DoAsync<FlowReader, FlowView>(u => u.OfGiftAsync(room.Volunteer, gift.Id, Cancellation))).Book.Graph;
        Assert.Equal(left, flow.Nodes.Where(n => n.Kind == shown).Sum(flow.Into));
    }

    /// <summary>A ball's worth may be lost by one person's word; a milligram more waits.</summary>
    [Fact]
    public async Task Close_WhenMoreThanABallIsLost_WaitsForASecondPerson()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room, 949.999m);
        Refuse.Rule("invalid-value", "note", await TryCloseAsync(room, bag, RestTo.Lost));

        ClosedBag asked = (await TryCloseAsync(room, bag, RestTo.Lost, "Looked under the table.")).Value;

        Assert.NotNull(asked.ApprovalId);
        Assert.Null((await RowAsync(room, bag)).ClosedAt);
        Assert.Null(await RestAsync(room, bag));
        ApprovalView waiting = Assert.Single(await room.DoAsync<ApprovalReader, IReadOnlyList<ApprovalView>>(u => u.OfBagAsync(room.Volunteer, bag, Cancellation)));
        Assert.Equal($"Bag {asked.Number} is closed; what is not sorted of it, 50.001 g, is booked as lost.", waiting.Sentence.ToString());
        Assert.Equal((ApprovalKind.WriteOff, "Looked under the table."), (waiting.Kind, waiting.Note));
        Refuse.Rule("waits-already", await TryCloseAsync(room, bag, RestTo.Lost, "Again."));
        Refuse.Rule("second-person-is-another", await room.UseAsync<DecideApproval, Outcome<Decided>>(u => u.ApproveAsync(room.Volunteer, waiting.Id, null, null, Cancellation)));

        Assert.Equal($"Bag {asked.Number} is closed; 50.001 g are booked as lost.", (await ApproveAsync(room, waiting.Id)).Value.Sentence().ToString());

        Movement rest = (await RestAsync(room, bag))!;
        Assert.Equal((PlaceKind.Lost, 50_001L, waiting.Id), (rest.ToKind, rest.Mg, rest.ApprovalId!.Value));
        Assert.NotNull((await RowAsync(room, bag)).ClosedAt);
    }

    /// <summary>Some of it turned up and was sorted while the request waited: only what is still missing is booked.</summary>
    [Fact]
    public async Task Approve_WhenSomeWasFoundMeanwhile_BooksWhatIsStillMissing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room);
        Guid request = (await TryCloseAsync(room, bag, RestTo.Lost, "Not there.")).Value.ApprovalId!.Value;
        await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 120 }, Cancellation));

        ApprovalView waiting = Assert.Single(await room.DoAsync<ApprovalReader, IReadOnlyList<ApprovalView>>(u => u.OfBagAsync(room.Volunteer, bag, Cancellation)));
        Assert.Equal("When this was asked for, the books had 200 g there; now they have 80 g.", Assert.Single(waiting.Since).ToString());
        Refuse.Rule("changed-since-you-looked", await ApproveAsync(room, request, ""));
        Assert.True((await ApproveAsync(room, request, waiting.Seen)).IsOk);

        Movement rest = (await RestAsync(room, bag))!;
        Assert.Equal((PlaceKind.Lost, 80_000L), (rest.ToKind, rest.Mg));
    }

    [Fact]
    public async Task Approve_WhenTheBagWasClosedMeanwhile_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room);
        Guid request = (await TryCloseAsync(room, bag, RestTo.Lost, "Not there.")).Value.ApprovalId!.Value;
        Assert.True((await TryCloseAsync(room, bag, RestTo.Stuffing)).IsOk);

        Refuse.Rule("bag-closed", await ApproveAsync(room, request));
        Assert.Equal(PlaceKind.Stuffing, (await RestAsync(room, bag))!.ToKind);
    }

    [Fact]
    public async Task Close_WhenTheLotsWeighALittleMore_IsWeighingErrorWhateverWasChosen()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room, 1_005);

        Assert.Equal(-5_000, (await TryCloseAsync(room, bag, RestTo.Lost)).Value.DifferenceMg);
        Assert.Null(await RestAsync(room, bag));
        Refuse.Rule("invalid-value", "restTo", await TryCloseAsync(room, (await SortedAsync(room)).Bag, (RestTo)9));
    }

    /// <summary>The guild's 5 g are exceeded by a milligram, and up to a ball's worth one person may answer for.</summary>
    [Theory]
    [InlineData(5_001)]
    [InlineData(50_000)]
    public async Task Close_WhenTheLotsWeighMoreThanTheScalesExplain_NeedsAReason(int surplus)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (LoggedGift gift, Guid bag) = await SortedAsync(room, 1_000 + (surplus / 1000m));

        Outcome<ClosedBag> unasked = await TryCloseAsync(room, bag, RestTo.Waste, " ");
        Refuse.Rule("invalid-value", "note", unasked);
        Assert.StartsWith($"The lots of bag {gift.Number}/1 weigh {surplus / 1000m:0.###} g more than it did.", unasked.Refusal.ToString(), StringComparison.Ordinal);
        Assert.Null((await RowAsync(room, bag)).ClosedAt);

        ClosedBag closed = (await TryCloseAsync(room, bag, RestTo.Waste, "Weighed twice.")).Value;
        Assert.Equal((-surplus, null), (closed.DifferenceMg, closed.ApprovalId));
        BagView view = Assert.Single((await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(room.Volunteer, gift.Id, Cancellation))).Bags);
        Assert.Equal((true, "Weighed twice."), (view.IsClosed, view.RestNote));
        Assert.Null(await RestAsync(room, bag));
    }

    [Fact]
    public async Task Close_WhenTheLotsWereWeighedOnACoarseScale_AllowsWhatItsStepsExplain()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room, 900);
        await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 120, ScaleDivisionGrams = 10 }, Cancellation));

        Assert.Equal(-20_000, (await TryCloseAsync(room, bag, RestTo.Waste)).Value.DifferenceMg);
    }

    /// <summary>900 typed for 90: one person can't close it away.</summary>
    [Fact]
    public async Task Close_WhenTheLotsWeighMoreByOverABall_WaitsForASecondPerson()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (LoggedGift gift, Guid bag) = await SortedAsync(room, 1_050.001m);
        Refuse.Rule("invalid-value", "note", await TryCloseAsync(room, bag, RestTo.Waste));

        ClosedBag asked = (await TryCloseAsync(room, bag, RestTo.Waste, "Weighed twice.")).Value;

        Assert.Equal(-50_001, asked.DifferenceMg);
        Assert.Null((await RowAsync(room, bag)).ClosedAt);
        ApprovalView waiting = Assert.Single(await room.DoAsync<ApprovalReader, IReadOnlyList<ApprovalView>>(u => u.OfBagAsync(room.Volunteer, bag, Cancellation)));
        Assert.Equal($"Bag {asked.Number} weighed 1000 g, its lots weigh 1050.001 g. It is closed, and 50.001 g more are booked as weighing error.", waiting.Sentence.ToString());
        Assert.Equal((ApprovalKind.Weighing, "Weighed twice."), (waiting.Kind, waiting.Note));
        Refuse.Rule("waits-already", await TryCloseAsync(room, bag, RestTo.Waste, "Again."));

        Assert.Equal($"Bag {asked.Number} is closed; 50.001 g were booked as weighing error.", (await ApproveAsync(room, asked.ApprovalId!.Value)).Value.Sentence().ToString());
        await using GuildDbContext db = room.Look();
        Movement booked = await db.Movements.SingleAsync(m => m.BagId == bag && m.Reason == MovementReason.SortingDifference, Cancellation);
        Assert.Equal((PlaceKind.Adjustment, 50_001L, asked.ApprovalId), (booked.FromKind, booked.Mg, booked.ApprovalId));
        Assert.Null(await RestAsync(room, bag));
        Assert.NotNull((await RowAsync(room, bag)).ClosedAt);
        Assert.Equal("Weighed twice.", Assert.Single((await room.DoAsync<GiftReader, GiftView>(u => u.OneAsync(room.Volunteer, gift.Id, Cancellation))).Bags).RestNote);
    }

    [Fact]
    public async Task Approve_WhenTheWrongLotWasUndoneMeanwhile_SaysSoAndIsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room, 400);
        LotView wrong = await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 900 }, Cancellation));
        Guid request = (await TryCloseAsync(room, bag, RestTo.Waste, "Right, it seems.")).Value.ApprovalId!.Value;
        await room.DoAsync<UndoLot, bool>(u => u.RunAsync(room.Volunteer, wrong.Id, Cancellation));

        ApprovalView waiting = Assert.Single(await room.DoAsync<ApprovalReader, IReadOnlyList<ApprovalView>>(u => u.OfBagAsync(room.Volunteer, bag, Cancellation)));
        Assert.EndsWith("weighed 300 g more than it did; now it is 0 g.", Assert.Single(waiting.Since).ToString(), StringComparison.Ordinal);
        Refuse.Rule("no-surplus-left", await ApproveAsync(room, request, waiting.Seen));
        Assert.Null((await RowAsync(room, bag)).ClosedAt);
    }

    /// <summary>Discarding books the difference too, so it is no way around.</summary>
    [Fact]
    public async Task Discard_WhenTheLotsWeighMoreByOverABall_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        (_, Guid bag) = await SortedAsync(room, 1_500);

        Refuse.Rule("lots-outweigh-bag", await room.UseAsync<DiscardBag, Outcome<DiscardedBag>>(u => u.RunAsync(room.Volunteer, bag, "Empty.", Cancellation)));
        Assert.Null((await RowAsync(room, bag)).ClosedAt);
    }
}
