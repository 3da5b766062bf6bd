using GuildStash.Data.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Holds;

/// <summary>How a hold ends: cancelled, extended, or lapsed by the database's clock.</summary>
public sealed class HoldLifeTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Cancel_WhenItIsOnesOwn_FreesTheYarnOnce()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 60);

        Assert.True((await CancelAsync(room, room.Member, hold.Id)).IsOk);
        Assert.Equal(100_000, (await room.LookAsync(lot)).FreeMg);
        Hold row = await room.HoldRowAsync(hold.Id);
        Assert.Equal((HoldState.Cancelled, room.Member), (row.State, row.EndedById));
        Refuse.Rule("hold-ended", await CancelAsync(room, room.Member, hold.Id));
        Refuse.Rule("hold-ended", await ExtendAsync(room, room.Member, hold.Id, 5));
        Refuse.Rule("hold-ended", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 60)));
    }

    [Fact]
    public async Task Cancel_WhenItIsAnothersHold_IsNotFoundForAMemberAndDoneByAVolunteer()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 60);

        Refuse.Rule("not-found", await CancelAsync(room, room.OtherMember, hold.Id));
        Refuse.Rule("not-found", await ExtendAsync(room, room.OtherMember, hold.Id, 30));
        Refuse.Rule("not-found", await CancelAsync(room, room.Member, Guid.NewGuid()));
        Assert.Equal(HoldState.Active, (await room.HoldRowAsync(hold.Id)).State);
        Assert.True((await ExtendAsync(room, room.Volunteer, hold.Id, 30)).IsOk);
        Assert.True((await CancelAsync(room, room.Volunteer, hold.Id)).IsOk);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(27)]
    public async Task Extend_WhenTheDaysAreAllowed_CountsFromNow(int days)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        PlacedHold hold = await room.HoldAsync(await room.LotAsync(100), 60);

        DateTimeOffset until = (await ExtendAsync(room, room.Member, hold.Id, days)).Value;

        Assert.Equal(days, (until - DateTimeOffset.UtcNow).TotalDays, 0.01);
        Assert.Equal(until, (await room.HoldRowAsync(hold.Id)).ExpiresAt, TimeSpan.FromMilliseconds(1));
    }

    [Fact]
    public async Task Extend_WhenItIsOnesOwnAgainAndAgain_EndsAtTwiceTheGuildsDaysFromTheFirst()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        PlacedHold hold = await room.HoldAsync(await room.LotAsync(100), 60);
        await room.OwnerSqlAsync($"update hold set created_at = now() - interval '10 days', expires_at = now() + interval '4 days' where id = {hold.Id}");

        DateTimeOffset until = (await ExtendAsync(room, room.Member, hold.Id, 365)).Value;

        Assert.Equal(18, (until - DateTimeOffset.UtcNow).TotalDays, 0.01);
        Refusal refusal = Refuse.Only(await ExtendAsync(room, room.Member, hold.Id, 19));
        Assert.Equal("hold-lasts-longest", refusal.Rule);
        Assert.Contains("at most 28 days", refusal.ToString(), StringComparison.Ordinal);
        Assert.Equal(until, (await room.HoldRowAsync(hold.Id)).ExpiresAt, TimeSpan.FromMilliseconds(1));
        Assert.True((await ExtendAsync(room, room.Member, hold.Id, 5)).IsOk);
        DateTimeOffset given = (await ExtendAsync(room, room.Volunteer, hold.Id, 365)).Value;
        Assert.Equal(365, (given - DateTimeOffset.UtcNow).TotalDays, 0.01);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-3)]
    [InlineData(366)]
    public async Task Invalid_WhenTheDaysAreNotAllowed_NamesTheField(int days)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        PlacedHold hold = await room.HoldAsync(await room.LotAsync(100), 60);

        Refuse.Rule("invalid-value", "days", await ExtendAsync(room, room.Member, hold.Id, days));
    }

    [Fact]
    public async Task Lapse_WhenTheTimeHasRunOut_FreesTheYarnBeforeAnybodyTidiesUp()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 100);
        await room.RunOutAsync(hold.Id);
        Assert.Equal(HoldState.Active, (await room.HoldRowAsync(hold.Id)).State);

        Assert.True((await room.TryHoldAsync(room.OtherMember, new HoldInput([new(lot.Code, 100, null)]))).IsOk);

        Hold row = await room.HoldRowAsync(hold.Id);
        Assert.Equal((HoldState.Lapsed, row.ExpiresAt), (row.State, row.EndedAt));
    }

    [Fact]
    public async Task Lapse_WhenTheTimeHasRunOut_TheHoldCanNeitherBeHandedOverNorExtended()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        PlacedHold hold = await room.HoldAsync(lot, 60);
        await room.RunOutAsync(hold.Id);

        Refuse.Rule("hold-lapsed", await room.TryHandOverAsync(new HandOverInput(hold.Id, Grams: 60)));
        Refuse.Rule("hold-lapsed", await ExtendAsync(room, room.Member, hold.Id, 10));
        Refuse.Rule("hold-lapsed", await CancelAsync(room, room.Member, hold.Id));
        Assert.Equal(0, (await MineAsync(room)).Total);
    }

    [Fact]
    public async Task Lapse_WhenAnotherHoldsOfTheRequestStillRuns_OnlyThatOneWaits()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView one = await room.LotAsync(100);
        LotView two = await room.LotAsync(100);
        PlacedRequest request = (await room.TryHoldAsync(room.Member, new HoldInput([new(one.Code, 10, null), new(two.Code, 20, null)]))).Value;
        await room.RunOutAsync(request.Holds[0].Id);

        WaitingRequest waits = Assert.Single((await MineAsync(room)).Items);
        Assert.Equal(request.Holds[1].Id, Assert.Single(waits.Holds).HoldId);
    }

    [Fact]
    public async Task Preview_WhenAmountsAreMissing_ShowsTheLotsAndTheRulesThatBarThem()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        LotView wet = await room.LotAsync(100, null, "damp");

        PreviewedRequest preview = await room.Guild.DoAsync<HoldPreview, PreviewedRequest>(
            u => u.RunAsync(room.Member, [new(lot.Code, null, null), new(wet.Code, null, null), new("QQ", null, null), new(lot.Code, null, 50)], Guid.NewGuid(), Cancellation));

        Assert.Equal(14, preview.HoldDays);
        Assert.Equal("projectId", preview.Project!.Field);
        Assert.Equal((lot.Id, null, 0), (preview.Lots[0].Lot!.Id, preview.Lots[0].Mg, preview.Lots[0].Refusals.Count));
        Assert.Equal("lots[1].lotCode", Assert.Single(preview.Lots[1].Refusals).Field);
        Assert.Null(preview.Lots[2].Lot);
        Assert.True(preview.Lots[3].MetresLow >= 50);
        Assert.Equal(0, (await room.LookAsync(lot)).HeldMg);
    }

    private static Task<Outcome<bool>> CancelAsync(DeskRoom room, Guid by, Guid hold) =>
        room.Guild.UseAsync<CancelHold, Outcome<bool>>(u => u.RunAsync(by, hold, Cancellation));

    private static Task<Outcome<DateTimeOffset>> ExtendAsync(DeskRoom room, Guid by, Guid hold, int days) =>
        room.Guild.UseAsync<ExtendHold, Outcome<DateTimeOffset>>(u => u.RunAsync(by, hold, days, Cancellation));

    private static Task<PageOf<WaitingRequest>> MineAsync(DeskRoom room) =>
        room.Guild.DoAsync<HandOverReader, PageOf<WaitingRequest>>(u => u.MyRequestsAsync(room.Member, new PageRequest(1), Cancellation));
}
