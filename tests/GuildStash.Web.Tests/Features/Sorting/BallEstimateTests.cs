using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

public sealed class BallEstimateTests
{
    private const double MetresPerYard = 0.9144;

    /// <summary>Common practice: aran has at least 170 yd in 100 g, so 150 g of it promise 255.0 yd.</summary>
    [Fact]
    public void KnownAran_Of150Grams_IsAtLeast255Yards()
    {
        BallEstimate ball = BallEstimate.Of(new BallForm { Grams = 150, WeightClass = WeightClass.Aran }, YardageRules.Standard);

        Assert.Equal(255.0, ball.Length!.Value.Low.Metres / MetresPerYard, 6);
        Assert.False(ball.IsCoarselyWeighed);
    }

    /// <summary>
    /// Common practice: wraps alone can't tell worsted from aran, so class 4's floor of 132 yd in 100 g counts. A count of 9 may also be
    /// one too many on bulky yarn, so that less is promised; a sure count of 10 promises the floor, to half a yard.
    /// </summary>
    [Fact]
    public void KnownWraps_OfNine_SayWorstedOrAranAtItsFloor()
    {
        BallEstimate nine = BallEstimate.Of(new BallForm { Grams = 100, WrapsCount = 9 }, YardageRules.Standard);
        BallEstimate ten = BallEstimate.Of(new BallForm { Grams = 100, WrapsCount = 20, WrapsInches = 2 }, YardageRules.Standard);

        Assert.Equal(WeightClass.Medium, nine.Yarn!.WeightClass);
        Assert.InRange(nine.Length!.Value.Low.Metres / MetresPerYard, 88.0, 132.0);
        Assert.Equal(WeightClass.Medium, ten.Yarn!.WeightClass);
        Assert.Equal(132.0, ten.Length!.Value.Low.Metres / MetresPerYard, 0.5);
    }

    /// <summary>
    /// Common practice: whole balls and loose grams are counted apart, since "5 balls and 19 g" read as 5.19 balls has left people short.
    /// 5 · 125 m + 19/50 · 125 m = 672.5 m (computed).
    /// </summary>
    [Fact]
    public void KnownBalls_OfFiveAnd19Grams_AreCountedApart()
    {
        BallForm form = new() { WholeBalls = 5, Grams = 19, ScaleDivisionGrams = 1, BandLength = 125, BandUnit = LengthUnit.Metres, BandGrams = 50 };
        BallEstimate ball = BallEstimate.Of(form, YardageRules.Standard);
        BallEstimate whole = BallEstimate.Of(form with { Grams = null }, YardageRules.Standard);

        Assert.Equal((269m, 672.5), (ball.Mass!.Value.Grams, Math.Round(ball.Length!.Value.Likely.Metres, 6)));
        Assert.Equal((250m, 625.0), (whole.Mass!.Value.Grams, Math.Round(whole.Length!.Value.Likely.Metres, 6)));
        Assert.Null(whole.Divisions);
    }

    [Theory]
    [InlineData(null, false, 1)]
    [InlineData("-5", false, 1)]
    [InlineData("50", true, 1)]
    [InlineData("50", false, 201)]
    public void Type_WhenSomethingIsMissingOrWrong_ShowsNoLength(string? grams, bool unknown, int wraps)
    {
        BallForm form = new()
        {
            Grams = grams is null ? null : decimal.Parse(grams, System.Globalization.CultureInfo.InvariantCulture),
            MassUnknown = unknown,
            WrapsCount = wraps,
        };

        Assert.Null(BallEstimate.Of(form, YardageRules.Standard).Length);
    }

    [Fact]
    public void Type_WhenTheTextureIsNotSmooth_LearnsNothingFromWraps()
    {
        Assert.NotNull(BallEstimate.Of(new BallForm { WrapsCount = 13 }, YardageRules.Standard).Yarn);
        Assert.Null(BallEstimate.Of(new BallForm { WrapsCount = 13, Texture = Texture.Fuzzy }, YardageRules.Standard).Yarn);
    }

    [Theory]
    [InlineData(99, true)]
    [InlineData(100, false)]
    public void Weigh_WhenTheScaleIsCoarseForTheMass_Says(int grams, bool coarse) =>
        Assert.Equal(coarse, BallEstimate.Of(new BallForm { Grams = grams, ScaleDivisionGrams = 5 }, YardageRules.Standard).IsCoarselyWeighed);

    [Fact]
    public void Weigh_WhenTheYarnIsOnACone_TakesTheCoreOff()
    {
        BallForm form = new() { Grams = 200, CoreTareGrams = 50, PutUp = Domain.Intake.PutUp.Cone, WeightClass = WeightClass.Aran };

        Assert.Equal(255.0, BallEstimate.Of(form, YardageRules.Standard).Length!.Value.Low.Metres / MetresPerYard, 6);
    }
}
