using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

/// <summary>Balls with their band on are counted, and what is loose is weighed.</summary>
public sealed class WholeBallsTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    private static LotInput Balls(int balls, decimal? loose) =>
        new() { WholeBalls = balls, Grams = loose, ScaleDivisionGrams = 1, Band = new(125, 50) };

    private static Task<Outcome<LotView>> TryAsync(GuildRoom room, Guid bag, LotInput input) =>
        room.UseAsync<AddLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, bag, input, Cancellation));

    [Fact]
    public async Task Save_WhenBallsAreWhole_BooksTheBandsGramsAndKeepsThatTheyWereCounted()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000);

        LotView mixed = (await TryAsync(room, bag, Balls(5, 19))).Value;
        LotView whole = (await TryAsync(room, bag, Balls(3, null))).Value;

        Assert.Equal((269_000L, 5, 6, 1000L), (mixed.OnHandMg!.Value, mixed.SealedBalls!.Value, mixed.Count, mixed.ScaleDivisionMg!.Value));
        Assert.Equal((150_000L, 3, 3, null), (whole.OnHandMg!.Value, whole.SealedBalls!.Value, whole.Count, whole.ScaleDivisionMg));
        Assert.Equal(375, whole.MetresLikely!.Value, 0.001);
    }

    [Fact]
    public async Task Weigh_WhenADryRoomMadeWholeBallsLight_TheyKeepTheBandsLength()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, null))).Value;

        LotView dry = (await WeighAsync(room, lot, 247)).Value.Lot;
        LotView drier = (await WeighAsync(room, lot, 235)).Value.Lot;

        Assert.Equal((247_000L, 5, null), (dry.OnHandMg!.Value, dry.SealedBalls!.Value, dry.ScaleDivisionMg));
        Assert.Equal(625, dry.MetresLikely!.Value, 0.001);
        Assert.Equal(lot.MetresLow!.Value, dry.MetresLow!.Value, 0.001);
        Assert.Equal(lot.MetresHigh!.Value, dry.MetresHigh!.Value, 0.001);
        Assert.Equal((235_000L, 5), (drier.OnHandMg!.Value, drier.SealedBalls!.Value));
        Assert.Equal(625, drier.MetresLikely!.Value, 0.001);
    }

    [Theory]
    [InlineData(229, false)]
    [InlineData(230, true)]
    [InlineData(270, true)]
    [InlineData(271, false)]
    public async Task Weigh_WhenBallsWereCounted_TheyMayWeigh92To108Percent(int grams, bool fits)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, null))).Value;

        Outcome<WeighedLot> weighed = await WeighAsync(room, lot, grams);

        Assert.Equal(fits, weighed.IsOk);
        if (!fits)
        {
            Assert.Equal("wholeBalls", weighed.Refusal.Field);
            Assert.Contains("46 g to 54 g", weighed.Refusal.Sentence.ToString(), StringComparison.Ordinal);
            Assert.Equal((250_000L, 5), ((await room.ReadAsync(lot.Code)).OnHandMg!.Value, (await room.ReadAsync(lot.Code)).SealedBalls!.Value));
        }
    }

    [Fact]
    public async Task Weigh_WhenSomebodySaysHowManyAreWhole_TheRestCountsByItsGrams()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, null))).Value;

        LotView four = (await WeighAsync(room, lot, 220, 4)).Value.Lot;
        LotView none = (await WeighAsync(room, lot, 210, 0)).Value.Lot;

        Assert.Equal((4, 20_000L), (four.SealedBalls!.Value, four.LooseMg!.Value));
        Assert.Equal(550, four.MetresLikely!.Value, 0.01);
        Assert.Equal((null, 1000L), (none.SealedBalls, none.ScaleDivisionMg!.Value));
        Assert.Equal(525, none.MetresLikely!.Value, 0.01);
    }

    [Fact]
    public async Task Weigh_WhenLooseYarnLiesBesideTheBalls_TheMissingGramsAreTakenOffIt()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, 19))).Value;

        LotView weighed = (await WeighAsync(room, lot, 261)).Value.Lot;

        Assert.Equal((5, 11_000L), (weighed.SealedBalls!.Value, weighed.LooseMg!.Value));
        Assert.Equal(625 + 27.5, weighed.MetresLikely!.Value, 0.01);
    }

    [Fact]
    public async Task Save_WhenAClassOrAGaugeStandsBesideTheBand_WholeBallsKeepTheBandsLength()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000);
        LotView plain = (await TryAsync(room, bag, Balls(2, null))).Value;

        foreach (LotInput more in new[]
        {
            Balls(2, null) with { WeightClass = WeightClass.Dk },
            Balls(2, null) with { Gauge = new(18, 10) },
            Balls(2, null) with { Wraps = new(11, 1) },
            Balls(2, null) with { Sample = new(20, 9, 0.1m) },
        })
        {
            LotView lot = (await TryAsync(room, bag, more)).Value;

            Assert.Equal(250, lot.MetresLikely!.Value, 0.001);
            Assert.Equal((plain.MetresLow!.Value, plain.MetresHigh!.Value), (lot.MetresLow!.Value, lot.MetresHigh!.Value));
        }
    }

    [Fact]
    public async Task Save_WhenTheRoomIsDamp_OnlyTheLooseGramsAreCorrected()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await room.DoAsync<SaveMoisture, int>(u => u.RunAsync(room.Coordinator, 0, 30, null, null, Cancellation));
        LotInput wool = Balls(2, 100) with { Fibres = [new("WO", 100)] };

        LotView lot = (await TryAsync(room, await room.BagAsync(1000), wool)).Value;

        Assert.Equal(250 + (250 * 117 / 130.0), lot.MetresLikely!.Value, 0.01);
    }

    [Fact]
    public async Task Split_WhenWholeBallsGo_BothLotsKeepTheLengthOfTheirs()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, null))).Value;
        await WeighAsync(room, lot, 240);

        LotView part = await room.DoAsync<SplitLot, LotView>(u => u.RunAsync(room.Volunteer, lot.Id, new SplitInput(null, 2), Cancellation));
        LotView rest = await room.ReadAsync(lot.Code);
        LotView again = await room.DoAsync<UndoSplit, LotView>(u => u.RunAsync(room.Volunteer, part.Id, Cancellation));

        Assert.Equal((2, 3), (part.SealedBalls!.Value, rest.SealedBalls!.Value));
        Assert.Equal(250, part.MetresLikely!.Value, 0.01);
        Assert.Equal(375, rest.MetresLikely!.Value, 0.01);
        Assert.Equal(5, again.SealedBalls);
        Assert.Equal(625, again.MetresLikely!.Value, 0.01);
    }

    private static Task<Outcome<WeighedLot>> WeighAsync(GuildRoom room, LotView lot, decimal grams, int? balls = null) =>
        room.UseAsync<WeighLot, Outcome<WeighedLot>>(u => u.RunAsync(room.Volunteer, lot.Id, grams, 1, null, balls, Cancellation));

    [Fact]
    public async Task Undo_WhenBallsWereCounted_GivesTheFormTheBallsAndTheLooseGrams()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000);

        BallForm mixed = BallForm.From((await TryAsync(room, bag, Balls(5, 19))).Value).AsNew();
        BallForm whole = BallForm.From((await TryAsync(room, bag, Balls(3, null))).Value).AsNew();

        Assert.Equal((5m, 19m), (mixed.WholeBalls, mixed.Grams));
        Assert.Equal((3m, (decimal?)null), (whole.WholeBalls, whole.Grams));
    }

    [Fact]
    public async Task InvalidBalls_AreRefusedAtTheirField()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid bag = await room.BagAsync(1000);
        async Task<string?> FieldAsync(LotInput input) => (await TryAsync(room, bag, input)).Refusal.Field;

        Assert.Equal("band", await FieldAsync(new() { WholeBalls = 5, WeightClass = WeightClass.Dk }));
        Assert.Equal("band", await FieldAsync(new() { WholeBalls = 5, Band = new(125) }));
        Assert.Equal("wholeBalls", await FieldAsync(Balls(-1, 50)));
        Assert.Equal("wholeBalls", await FieldAsync(Balls(1001, null)));
        Assert.Equal("grams", await FieldAsync(Balls(2, -3)));
        Assert.Equal("coreTareGrams", await FieldAsync(Balls(2, 30) with { CoreTareGrams = 5 }));
        Assert.Equal("grams", await FieldAsync(new() { WholeBalls = 0, Band = new(125, 50) }));
        Assert.Equal("wholeBalls", new BallForm { WholeBalls = 1.5m, BandLength = 125, BandGrams = 50 }.ToInput(default, null).Refusal.Field);
    }

    [Fact]
    public async Task Edit_WhenTheBandOfCountedBallsIsLeftOut_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, null))).Value;

        Outcome<LotView> without = await room.UseAsync<EditLot, Outcome<LotView>>(u => u.RunAsync(room.Volunteer, lot.Id, lot.Version, new LotInput { WeightClass = WeightClass.Dk }, Cancellation));

        Assert.Equal("band", without.Refusal.Field);
    }

    [Fact]
    public async Task Api_WhenBallsAreWhole_EstimatesAndSavesThem()
    {
        await using ApiRoom api = await ApiRoom.OpenAsync(postgres);
        async Task<JsonElement> PostAsync(HttpClient who, string path, object body, HttpStatusCode status)
        {
            using HttpResponseMessage answer = await who.PostAsJsonAsync("/api/v1" + path, body, Cancellation);
            string text = await answer.Content.ReadAsStringAsync(Cancellation);
            Assert.True(answer.StatusCode == status, text);
            return JsonElement.Parse(text);
        }

        JsonElement estimate = await PostAsync(api.Member, "/estimates", new { wholeBalls = 5, grams = 19, bandText = "125 m / 50 g" }, HttpStatusCode.OK);
        JsonElement gift = await PostAsync(api.Volunteer, "/donations", new { kind = "donation", grossGrams = 1000, tareGrams = 0 }, HttpStatusCode.Created);
        JsonElement lot = await PostAsync(api.Volunteer, $"/donations/{gift.GetProperty("id").GetGuid()}/lots", new { wholeBalls = 5, grams = 19, band = new { metres = 125, grams = 50 } }, HttpStatusCode.Created);

        Assert.Equal(672.5, estimate.GetProperty("metres").GetProperty("likely").GetDouble(), 0.1);
        Assert.Equal(269, lot.GetProperty("grams").GetDecimal());
    }
}
