using GuildStash.Domain.Projects;
using Xunit;

namespace GuildStash.Domain.Tests.Projects;

public sealed class OwnNeedTests
{
    /// <summary>The quantiles are those of Student's density, integrated here (Simpson's rule), not copied.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(12)]
    [InlineData(30)]
    public void Known_Quantiles_Leave95PercentBelow(int freedom)
    {
        double t = OwnNeed.Quantile(freedom);
        Assert.Equal(0.45, Between(freedom, 0, t), 0.0002);
    }

    [Fact]
    public void Known_FourPieces_HaveMeanSpreadAndTheLimitOfOneMore()
    {
        OwnNeed need = OwnNeed.Of([90, 100, 110, 100]);

        Assert.Equal((4, 100, 90, 110), (need.Count, need.Mean, need.Least, need.Most));
        Assert.Equal(Math.Sqrt(200.0 / 3), need.Spread, 1e-12);
        Assert.Equal(100 + (2.353 * need.Spread * Math.Sqrt(1.25)), need.Safe, 1e-9);
        Assert.Equal(100 - (2.353 * need.Spread * Math.Sqrt(1.25)), need.Low, 1e-9);
        Assert.True(need.IsEnough);
    }

    [Fact]
    public void Extreme_OneOrWildOnes_PromiseNoLessThanWasSeenAndMoreThanNothing()
    {
        OwnNeed one = OwnNeed.Of([80]);
        OwnNeed wild = OwnNeed.Of([1, 1000]);

        Assert.Equal((80, 80, 0, false), (one.Safe, one.Low, one.Spread, one.IsEnough));
        Assert.True(wild.Safe >= 1000);
        Assert.Equal(0.5, wild.Low, 1e-12);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void Invalid_Lengths_AreRefused(double length) => Assert.ThrowsAny<ArgumentException>(() => OwnNeed.Of([50, length]));

    [Fact]
    public void Invalid_Nothing_IsRefused() => Assert.ThrowsAny<ArgumentException>(() => OwnNeed.Of([]));

    private static double Between(int freedom, double from, double to)
    {
        const int Steps = 2000;
        double width = (to - from) / Steps;
        double sum = 0;
        for (int i = 0; i <= Steps; i++)
        {
            sum += Density(freedom, from + (i * width)) * (i is 0 or Steps ? 1 : i % 2 == 1 ? 4 : 2);
        }

        return sum * width / 3;
    }

    private static double Density(int freedom, double t) =>
        Math.Exp(LogGamma((freedom + 1) / 2.0) - LogGamma(freedom / 2.0)) / Math.Sqrt(freedom * Math.PI) * Math.Pow(1 + (t * t / freedom), -(freedom + 1) / 2.0);

    /// <summary>Of halves and whole numbers, by the recursion from Γ(1/2) = √π and Γ(1) = 1.</summary>
    private static double LogGamma(double x) => x switch
    {
        0.5 => Math.Log(Math.PI) / 2,
        1 => 0,
        _ => Math.Log(x - 1) + LogGamma(x - 1),
    };
}
