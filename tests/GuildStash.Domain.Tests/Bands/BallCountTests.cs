using CsCheck;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Bands;

public class BallCountTests
{
    private static readonly Band Band = Band.Create(125, 50).Value;

    [Fact]
    public void Known_WholeBallsAndLooseGrams()
    {
        // Computed: 3 · 125 m + 20 g · 2.5 m/g = 425 m.
        BallCount count = BallCount.Create(Band, 3, 20).Value;
        Assert.Equal(425, count.Length.Metres, 1e-9);
        Assert.Equal(170, count.Mass.Grams);
        Assert.Equal((3, 20m), (count.WholeBalls, count.Loose.Grams));
    }

    [Fact]
    public void Roundtrip_LooseBallIsAsLongAsAWholeOne() => Gen.Int[1, 400].Sample(balls =>
        Math.Abs((BallCount.Create(Band, balls, 0).Value.Length - BallCount.Create(Band, 0, balls * 50).Value.Length).Metres) < 1e-6);

    [Theory]
    [InlineData(-1, 0, "wholeBalls", "0 to 1,000")]
    [InlineData(1001, 0, "wholeBalls", "0 to 1,000")]
    [InlineData(1, -0.5, "looseGrams", "0 to 25,000")]
    [InlineData(1, 25000.1, "looseGrams", "0 to 25,000")]
    [InlineData(0, 0, "looseGrams", "at least one ball")]
    [InlineData(0, 0.0001, "looseGrams", "at least one ball")]
    public void Invalid_Count(int balls, double loose, string field, string told) => Refused.With(BallCount.Create(Band, balls, (decimal)loose), field, told);

    // 50 g of wool at 18.25 % weighs 48.20 g at 14 % and 46.51 g at 10 % (computed from Regulation (EU) 1007/2011 annex IX): a sealed
    // 50 g ball that reads 46 to 48 g is not short.
    [Theory]
    [InlineData(48.20)]
    [InlineData(46.51)]
    [InlineData(46)]
    [InlineData(50)]
    [InlineData(54)]
    public void Known_SealedBallKeepsTheBandsLength(double grams) => Assert.Equal(Band.Length, SealedBall.Length(Band, (decimal)grams).Value);

    [Theory]
    [InlineData(45.9)]
    [InlineData(54.1)]
    [InlineData(0)]
    [InlineData(-46)]
    public void Invalid_SealedBall(double grams) => Refused.With(SealedBall.Length(Band, (decimal)grams), "weighedGrams", "whole ball of 50 g", "46 to 54 g", "loose");

    [Fact]
    public void Known_ConeIsGrossWithoutCore() => Assert.Equal(Mass.FromGrams(418.5m), Cone.Net(500, 81.5m).Value);

    [Theory]
    [InlineData(80, 80, "coreGrams", "leaves no yarn")]
    [InlineData(80, 500, "coreGrams", "leaves no yarn")]
    [InlineData(80, -1, "coreGrams", "0 to 25,000")]
    [InlineData(0, 0, "grossGrams", "more than 0")]
    [InlineData(-5, 0, "grossGrams", "more than 0")]
    [InlineData(25001, 0, "grossGrams", "at most 25,000")]
    public void Invalid_Cone(double gross, double core, string field, string told) => Refused.With(Cone.Net((decimal)gross, (decimal)core), field, told);

    [Fact]
    public void Extreme_NetIsPositiveOrRefused() => Gen.Decimal[-100, 30_000].Select(Gen.Decimal[-100, 30_000]).Sample((gross, core) =>
        Cone.Net(gross, core) is var net && (net.IsOk ? net.Value > Mass.Zero : net.Refusals.Count == 1));
}
