using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Inventory;
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
    public async Task Weigh_WhenBallsWereCounted_CountsThemNoLonger()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        LotView lot = (await TryAsync(room, await room.BagAsync(1000), Balls(5, null))).Value;

        LotView weighed = (await room.DoAsync<WeighLot, WeighedLot>(u => u.RunAsync(room.Volunteer, lot.Id, 247, 1, Cancellation))).Lot;

        Assert.Equal((247_000L, null, 1000L), (weighed.OnHandMg!.Value, weighed.SealedBalls, weighed.ScaleDivisionMg!.Value));
    }

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
