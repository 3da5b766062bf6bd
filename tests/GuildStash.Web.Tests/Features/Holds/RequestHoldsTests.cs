using GuildStash.Data.Ledger;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Holds;

/// <summary>How much is promised, and never more than is there.</summary>
public sealed class RequestHoldsTests(PostgresFixture postgres)
{
    private const double MetresPerYard = 0.9144;

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Reserve_WhenAskedInGrams_PromisesThemUntilTheGuildsDay()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);

        PlacedRequest request = (await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Display, 60, null)], Note: " for a hat "))).Value;

        PlacedHold hold = Assert.Single(request.Holds);
        Assert.Equal(60_000, hold.Mg);
        Assert.Equal(92.776991, hold.MetresLow!.Value / MetresPerYard, 6);
        Assert.Equal(14, (hold.ExpiresAt - (await room.HoldRowAsync(hold.Id)).CreatedAt).TotalDays, 6);
        Assert.EndsWith("-0001", request.Number, StringComparison.Ordinal);
        HoldRequest row = await room.AskAsync(db => db.HoldRequests.SingleAsync(Cancellation));
        Assert.Equal((room.Member, room.Member, "for a hat"), (row.MemberId, row.CreatedById, row.Note));
        LotView after = await room.LookAsync(lot);
        Assert.Equal((150_000, 60_000, 90_000), (after.OnHandMg, after.HeldMg, after.FreeMg));
    }

    [Theory]
    [InlineData(null, 100)]
    [InlineData(1, 100)]
    [InlineData(5, 100)]
    [InlineData(5, 12.5)]
    [InlineData(1, 0.3)]
    public async Task Reserve_WhenAskedInMetres_PromisesTheSmallestWholeGramsThatSurelyReach(int? division, double metres)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150, l => l with { ScaleDivisionGrams = division });

        PlacedHold hold = await room.HoldAsync(lot, null, metres);

        Assert.Equal(0, hold.Mg % 1000);
        Assert.True(hold.MetresLow >= metres, $"{hold.MetresLow} m do not reach {metres} m.");
        if (hold.Mg > 1000)
        {
            PreviewedRequest lighter = await room.Guild.DoAsync<HoldPreview, PreviewedRequest>(
                u => u.RunAsync(room.Member, [new WantedYarn(lot.Code, (hold.Mg - 1000) / 1000m, null)], null, Cancellation));
            double? reached = lighter.Lots[0].MetresLow ?? (await EstimateAsync(room, lot, hold.Mg - 1000));
            Assert.True(reached < metres, $"A gram less would do: {reached} m.");
        }

        Assert.Equal(metres, (await room.HoldRowAsync(hold.Id)).WantedMetres);
    }

    [Theory]
    [InlineData(null)]
    [InlineData(5)]
    public async Task Reserve_WhenAllThatIsSurelyFreeIsAskedInMetres_PromisesAllOfIt(int? division)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(147.3m, l => l with { ScaleDivisionGrams = division });

        PlacedHold hold = await room.HoldAsync(lot, null, lot.FreeMetresLow);

        Assert.Equal(147_300, hold.Mg);
        Assert.Equal(0, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task Reserve_WhenTheScreenRoundedTheLengthUp_PromisesAllOfIt()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);

        PlacedHold hold = await room.HoldAsync(lot, null, lot.FreeMetresLow!.Value + 5e-7);

        Assert.Equal(150_000, hold.Mg);
    }

    [Fact]
    public async Task Invalid_WhenMoreThanFreeIsAsked_NamesTheRuleAndWhatIsFree()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 50);

        Outcome<PlacedRequest> grams = await room.TryHoldAsync(room.OtherMember, new HoldInput([new WantedYarn(lot.Code, 100.001m, null)]));
        Refuse.Rule("not-enough-free", "grams", grams);
        Assert.Contains("100 g are free", grams.Refusal.ToString(), StringComparison.Ordinal);
        Outcome<PlacedRequest> metres = await room.TryHoldAsync(room.OtherMember, new HoldInput([new WantedYarn(lot.Code, null, (155 * MetresPerYard) + 0.001)]));
        Refuse.Rule("not-enough-free", "metres", metres);
        Assert.Contains("141 m are surely free", metres.Refusal.ToString(), StringComparison.Ordinal);

        await room.HoldAsync(lot, 100, by: room.OtherMember);
        Refuse.Rule("not-enough-free", "metres", await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, null, 1e-7)])));
        Refuse.Rule("not-enough-free", "grams", await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, 0.001m, null)])));
    }

    [Fact]
    public async Task Invalid_WhenTheLotMayNotBePromised_NamesTheRuleBesideTheLot()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView quarantined = await room.LotAsync(50, null, "damp");
        LotView unweighed = await room.LotAsync(null);
        LotView unmeasured = await room.LotAsync(50, l => l with { WeightClass = null });
        LotView gone = await room.LotAsync(50);
        await room.HandOverAsync(new(LotCode: gone.Code, MemberId: room.OtherMember, Grams: 50, WholeLot: true));

        Task<Outcome<PlacedRequest>> Ask(LotView lot, decimal? grams, double? metres) =>
            room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, grams, metres)]));

        Refuse.Rule("lot-in-quarantine", "lotCode", await Ask(quarantined, 10, null));
        Refuse.Rule("mass-unknown", "lotCode", await Ask(unweighed, 10, null));
        Refuse.Rule("length-unknown", "metres", await Ask(unmeasured, null, 10));
        Refuse.Rule("lot-closed", "lotCode", await Ask(gone, 10, null));
        Assert.Equal(10_000, (await room.HoldAsync(unmeasured, 10)).Mg);
        Assert.Null((await room.HoldAsync(unmeasured, 10)).MetresLow);
    }

    [Theory]
    [InlineData(0.0, null, "grams")]
    [InlineData(-5.0, null, "grams")]
    [InlineData(25_001.0, null, "grams")]
    [InlineData(0.0001, null, "grams")]
    [InlineData(null, 0.0, "metres")]
    [InlineData(null, -1.0, "metres")]
    [InlineData(null, double.NaN, "metres")]
    [InlineData(null, double.PositiveInfinity, "metres")]
    [InlineData(null, 100_001.0, "metres")]
    [InlineData(null, null, "grams")]
    [InlineData(10.0, 10.0, "grams")]
    public async Task Invalid_WhenTheAmountCanNotBe_NamesTheField(double? grams, double? metres, string field)
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);

        Outcome<PlacedRequest> refused = await room.TryHoldAsync(room.Member, new HoldInput([new WantedYarn(lot.Code, (decimal?)grams, metres)]));

        Refuse.Rule("invalid-value", field, refused);
        Assert.Equal(0, (await room.LookAsync(lot)).HeldMg);
    }

    [Fact]
    public async Task Invalid_WhenTheRequestItselfIsWrong_NamesTheField()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        WantedYarn some = new(lot.Code, 10, null);

        async Task RefusedAt(string field, HoldInput input) => Assert.Equal(field, Refuse.Only(await room.TryHoldAsync(room.Volunteer, input)).Field);

        await RefusedAt("lots", new HoldInput([]));
        await RefusedAt("lots", new HoldInput([.. Enumerable.Repeat(some, 51)]));
        await RefusedAt("days", new HoldInput([some], Days: 0));
        await RefusedAt("days", new HoldInput([some], Days: 366));
        await RefusedAt("note", new HoldInput([some], Note: new string('x', 501)));
        await RefusedAt("projectId", new HoldInput([some], ProjectId: Guid.NewGuid()));
        await RefusedAt("memberId", new HoldInput([some], MemberId: Guid.NewGuid()));
        await RefusedAt("lotCode", new HoldInput([some with { LotCode = "ZZZZ-ZZV" }]));
        await RefusedAt("lotCode", new HoldInput([some with { LotCode = lot.Code[..^1] + (lot.Code[^1] == 'A' ? 'B' : 'A') }]));
        await RefusedAt("lotCode", new HoldInput([some with { LotCode = "<script>" }]));
        await RefusedAt("days", new HoldInput([some], Days: 29));
        Assert.True((await room.TryHoldAsync(room.Member, new HoldInput([some], Days: 28))).IsOk);
        Assert.Equal(365, (await room.TryHoldAsync(room.Volunteer, new HoldInput([some], MemberId: room.Member, Days: 365))).Value.Holds[0].ExpiresAt.Subtract(DateTimeOffset.UtcNow).TotalDays, 0.1);
    }

    [Fact]
    public async Task Reserve_WhenOneOfSeveralLotsIsRefused_PromisesNothingAndSaysWhatIsWrongWithEach()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView good = await room.LotAsync(150);
        LotView small = await room.LotAsync(20);
        LotView unweighed = await room.LotAsync(null);

        Outcome<PlacedRequest> refused = await room.TryHoldAsync(room.Member, new HoldInput(
            [new(good.Code, 10, null), new(small.Code, 21, null), new("nonsense", 1, null), new(unweighed.Code, 1, null)]));

        Assert.Equal([("not-enough-free", "lots[1].grams"), ("invalid-value", "lots[2].lotCode"), ("mass-unknown", "lots[3].lotCode")], refused.Refusals.Select(r => (r.Rule, r.Field)));
        Assert.Equal(0, await room.AskAsync(db => db.Holds.CountAsync(Cancellation)));
        Assert.Equal(0, (await room.LookAsync(good)).HeldMg);

        PlacedRequest both = (await room.TryHoldAsync(room.Member, new HoldInput([new(good.Code, 10, null), new(small.Code, 20, null)]))).Value;
        Assert.EndsWith("-0001", both.Number, StringComparison.Ordinal);
        Assert.Equal([(good.Code, 10_000), (small.Code, 20_000)], both.Holds.Select(h => (h.LotCode, h.Mg)));
    }

    [Fact]
    public async Task Reserve_WhenALotIsNamedTwice_CountsBothTogether()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);

        Outcome<PlacedRequest> refused = await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 60, null), new(lot.Display.ToLowerInvariant(), 41, null)]));
        Refuse.Rule("not-enough-free", "lots[1].grams", refused);
        Assert.Contains("40 g are free", refused.Refusal.ToString(), StringComparison.Ordinal);

        Assert.True((await room.TryHoldAsync(room.Member, new HoldInput([new(lot.Code, 60, null), new(lot.Code, 40, null)]))).IsOk);
        Assert.Equal(0, (await room.LookAsync(lot)).FreeMg);
    }

    [Fact]
    public async Task Reserve_ForSomebodyElse_NeedsAVolunteerAndAnActiveAccount()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(100);
        HoldInput forOther = new([new WantedYarn(lot.Code, 10, null)], MemberId: room.OtherMember);

        Refuse.Rule("not-allowed", await room.TryHoldAsync(room.Member, forOther));
        PlacedRequest placed = (await room.TryHoldAsync(room.Volunteer, forOther)).Value;
        HoldRequest row = await room.AskAsync(db => db.HoldRequests.SingleAsync(r => r.Id == placed.Id, Cancellation));
        Assert.Equal((room.OtherMember, room.Volunteer), (row.MemberId, row.CreatedById));

        await room.DisableAsync(room.OtherMember);
        Refuse.Rule("invalid-value", "memberId", await room.TryHoldAsync(room.Volunteer, forOther));
        Refuse.Rule("not-allowed", await room.TryHoldAsync(room.OtherMember, new HoldInput([new WantedYarn(lot.Code, 10, null)])));
    }

    private static Task<double?> EstimateAsync(DeskRoom room, LotView lot, long mg) => room.AskAsync(async db =>
    {
        Data.Stock.Lot row = await db.Lots.AsNoTracking().SingleAsync(l => l.Id == lot.Id, Cancellation);
        LengthRange? length = GuildStash.Web.Features.Sorting.LotTraitsOf.LengthOf(row, mg);
        return length?.Low.Metres;
    });
}
