using GuildStash.Data.Ledger;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>Yarn into a member's hands: as promised, more, less, all of it, and without a hold.</summary>
public sealed class HandOverYarnTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task HandOver_WhenNoGramsAreGiven_TakesWhatWasPromisedAndLendsItForTheGuildsDays()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid project = await room.ProjectAsync();
        LotView lot = await room.LotAsync(150);
        PlacedHold hold = await room.HoldAsync(lot, 60, project: project);

        HandedOver taken = await room.HandOverAsync(new HandOverInput(hold.Id));

        Assert.Equal((60_000, 0, false, room.Member), (taken.Mg, taken.DifferenceMg, taken.LotIsEmpty, taken.MemberId));
        Checkout row = await room.CheckoutRowAsync(taken.Id);
        Assert.Equal((hold.Id, project, 60_000, 60_000, room.Volunteer), (row.HoldId, row.ProjectId, row.TakenMg, row.AtHomeMg, row.HandedOverById));
        DateOnly today = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(DateTimeOffset.UtcNow, TimeZoneInfo.FindSystemTimeZoneById("Europe/London")).DateTime);
        Assert.Equal(today.AddDays(60), taken.DueOn);
        Hold ended = await room.HoldRowAsync(hold.Id);
        Assert.Equal((HoldState.TakenHome, room.Volunteer), (ended.State, ended.EndedById));
        LotView after = await room.LookAsync(lot);
        Assert.Equal((90_000, 0, 90_000), (after.OnHandMg, after.HeldMg, after.FreeMg));
    }

    [Theory]
    [InlineData(58, 92_000)]
    [InlineData(75.5, 74_500)]
    [InlineData(110, 40_000)]
    public async Task HandOver_WhenTheScaleShowsOtherThanPromised_BooksWhatTheScaleShows(double shown, long left)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 40, by: room.OtherMember);
        PlacedHold hold = await room.HoldAsync(lot, 60);

        HandedOver taken = await room.HandOverAsync(new HandOverInput(hold.Id, Grams: (decimal)shown));

        Assert.Equal((long)(shown * 1000), taken.Mg);
        Assert.Equal(0, taken.DifferenceMg);
        LotView after = await room.LookAsync(lot);
        Assert.Equal((left, 40_000), (after.OnHandMg, after.HeldMg));
    }

    [Fact]
    public async Task Invalid_WhenMoreThanFreeIsOnTheScale_IsRefusedAndTheHoldStays()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 40, by: room.OtherMember);
        PlacedHold hold = await room.HoldAsync(lot, 60);

        Refuse.Rule("not-enough-free", "grams", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 110.001m)));
        Refuse.Rule("not-enough-free", "grams", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 111, WholeLot: false)));
        Refuse.Rule("held-for-others", "wholeLot", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 110, WholeLot: true)));
        foreach (decimal grams in new[] { 0m, -1m, 25_001m })
        {
            Refuse.Rule("invalid-value", "grams", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: grams)));
        }

        Assert.Equal(HoldState.Active, (await room.HoldRowAsync(hold.Id)).State);
        Assert.Equal((150_000, 100_000), ((await room.LookAsync(lot)).OnHandMg!.Value, (await room.LookAsync(lot)).HeldMg));
        Assert.Equal(0, await room.AskAsync(db => db.Checkouts.CountAsync(Cancellation)));
    }

    [Theory]
    [InlineData(150, 0)]
    [InlineData(146, -4_000)]
    [InlineData(145, -5_000)]
    [InlineData(155, 5_000)]
    [InlineData(151.2, 1_200)]
    public async Task HandOver_WhenTheWholeLotLeavesWithinWeighingError_BooksTheDifferenceAndClosesTheLot(double shown, long difference)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);

        HandedOver taken = await room.HandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: (decimal)shown, WholeLot: true));

        Assert.Equal((difference, true), (taken.DifferenceMg, taken.LotIsEmpty));
        Assert.Equal(LotStatus.Closed, (await room.LookAsync(lot)).Status);
        Assert.Equal(-difference, await room.BalanceAsync(lot, PlaceKind.Adjustment));
        Assert.Equal((long)(shown * 1000), await room.BalanceAsync(lot, PlaceKind.Member));
    }

    [Theory]
    [InlineData(144.999)]
    [InlineData(155.001)]
    [InlineData(20)]
    public async Task Invalid_WhenTheWholeLotIsFurtherOffThanWeighingExplains_AsksForACount(double shown)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);

        Outcome<HandedOver> refused = await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: (decimal)shown, WholeLot: true));

        Refuse.Rule("beyond-weighing-error", "grams", refused);
        Assert.Contains("(5 g)", refused.Refusal.ToString(), StringComparison.Ordinal);
        Assert.Equal(150_000, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task HandOver_WhenTheScaleOfTheLotIsCoarse_AllowsTwiceItsDivision()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150, l => l with { ScaleDivisionGrams = 5 });

        Refuse.Rule("beyond-weighing-error", await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 139.9m, WholeLot: true)));
        HandedOver taken = await room.HandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 140, WholeLot: true));

        Assert.Equal((-10_000, true), (taken.DifferenceMg, taken.LotIsEmpty));
    }

    [Fact]
    public async Task HandOver_WhenAllOfALotWasPromised_TakesItAsAWholeUnlessAPartIsSaid()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView whole = await room.LotAsync(60);
        LotView part = await room.LotAsync(60);
        PlacedHold all = await room.HoldAsync(whole, 60);
        PlacedHold some = await room.HoldAsync(part, 60);

        HandedOver asAWhole = await room.HandOverAsync(new HandOverInput(all.Id, Grams: 58));
        HandedOver asAPart = await room.HandOverAsync(new HandOverInput(some.Id, Grams: 58, WholeLot: false));

        Assert.Equal((-2_000, true), (asAWhole.DifferenceMg, asAWhole.LotIsEmpty));
        Assert.Equal((0, false), (asAPart.DifferenceMg, asAPart.LotIsEmpty));
        Assert.Equal(2_000, (await room.LookAsync(part)).FreeMg);
    }

    [Fact]
    public async Task HandOver_WhenTheScaleShowsALittleMoreThanTheBooks_TakesTheWholeLot()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(60);

        HandedOver taken = await room.TakenHomeAsync(lot, 61);

        Assert.Equal((1_000, true), (taken.DifferenceMg, taken.LotIsEmpty));
        Refuse.Rule("lot-closed", "lotCode", await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 1)));
    }

    [Fact]
    public async Task HandOver_WhenLeftoversOfTheLotWaitForInspection_ItStaysOpen()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HandedOver first = await room.TakenHomeAsync(lot, 40);
        Assert.False((await room.TryTakeBackAsync(first.Id, new ReturnInput(15))).Value.IsFree);

        HandedOver rest = await room.HandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.OtherMember, Grams: 60, WholeLot: true));

        Assert.False(rest.LotIsEmpty);
        LotView after = await room.LookAsync(lot);
        Assert.Equal((15_000, 15_000, 0), (after.OnHandMg, after.QuarantinedMg, after.FreeMg));
        Assert.NotEqual(LotStatus.Closed, after.Status);
    }

    [Fact]
    public async Task HandOver_WithoutAHold_FindsTheMemberByAddressToo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);

        HandedOver taken = await room.HandOverAsync(new HandOverInput(LotCode: lot.Display, MemberEmail: " Member@Example.org ", Grams: 10));

        Assert.Equal(room.Member, taken.MemberId);
    }

    [Fact]
    public async Task Invalid_WithoutAHold_WhenSomethingIsMissing_NamesEachField()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        LotView wet = await room.LotAsync(100, null, "damp");
        LotView unweighed = await room.LotAsync(null);
        HandOverInput good = new(LotCode: lot.Code, MemberId: room.Member, Grams: 10);

        async Task RefusedAt(string rule, string field, HandOverInput input) => Refuse.Rule(rule, field, await room.TryHandOverAsync(input));

        await RefusedAt("invalid-value", "lotCode", new HandOverInput(MemberId: room.Member, Grams: 10));
        await RefusedAt("invalid-value", "holdId", good with { HoldId = Guid.NewGuid() });
        await RefusedAt("not-found", "lotCode", good with { LotCode = "ZZZZ-ZZV" });
        await RefusedAt("not-found", "lotCode", good with { LotCode = "K7M4" });
        await RefusedAt("invalid-value", "memberId", good with { MemberId = null });
        await RefusedAt("invalid-value", "memberId", good with { MemberId = Guid.NewGuid() });
        await RefusedAt("invalid-value", "memberEmail", good with { MemberId = null, MemberEmail = "nobody@example.org" });
        await RefusedAt("invalid-value", "projectId", good with { ProjectId = Guid.NewGuid() });
        await RefusedAt("invalid-value", "grams", good with { Grams = null });
        await RefusedAt("lot-in-quarantine", "lotCode", good with { LotCode = wet.Code });
        await RefusedAt("mass-unknown", "lotCode", good with { LotCode = unweighed.Code });
        Refuse.Rule("not-found", await room.TryHandOverAsync(new HandOverInput(Guid.NewGuid(), Grams: 10)));
        Outcome<HandedOver> both = await room.TryHandOverAsync(good with { MemberId = null, LotCode = "K7M4" });
        Assert.Equal(["memberId", "lotCode"], both.Refusals.Select(r => r.Field));
    }

    [Fact]
    public async Task Invalid_WhenTheMembersAccountWasDisabledMeanwhile_NothingIsHandedOver()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 30);
        await room.DisableAsync(room.Member);

        Refuse.Rule("member-not-active", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 30)));
        Refuse.Rule("invalid-value", "memberId", await room.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: room.Member, Grams: 10)));
        Assert.True((await room.Guild.UseAsync<CancelHold, Outcome<bool>>(u => u.RunAsync(room.Volunteer, hold.Id, Cancellation))).IsOk);
    }
}
