using GuildStash.Web.Features.Inventory;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

public sealed class SharesTests
{
    [Theory]
    [InlineData(new double[] { 1, 1, 1 }, new[] { 334, 333, 333 })]
    [InlineData(new double[] { 2, 1 }, new[] { 667, 333 })]
    [InlineData(new double[] { 5, 0 }, new[] { 1000, 0 })]
    [InlineData(new double[] { 0, 0 }, new[] { 0, 0 })]
    [InlineData(new double[0], new int[0])]
    public void KnownShares_OfSmallNumbers_AreComputed(double[] values, int[] tenths) => Assert.Equal(tenths, Shares.Tenths(values));

    [Fact]
    public void Extreme_WhenValuesAreOfAnySize_TheyAddUpAndEachIsNear()
    {
        int seed = Random.Shared.Next();
        Random random = new(seed);
        for (int round = 0; round < 2_000; round++)
        {
            double[] values = [.. Enumerable.Range(0, random.Next(1, 20)).Select(_ => random.Next(4) == 0 ? 0 : Math.Pow(10, (random.NextDouble() * 12) - 3))];
            int[] tenths = Shares.Tenths(values);
            double sum = values.Sum();

            Assert.True(tenths.Sum() == (sum > 0 ? Shares.Whole : 0), $"Seed {seed}: {string.Join(", ", values)}");
            Assert.All(values.Zip(tenths), pair => Assert.True(sum == 0 || Math.Abs((pair.First / sum * Shares.Whole) - pair.Second) < 1, $"Seed {seed}: {string.Join(", ", values)}"));
            Assert.All(values.Zip(tenths), pair => Assert.True(pair.First > 0 || pair.Second == 0, $"Seed {seed}: {string.Join(", ", values)}"));
        }
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    public void Invalid_WhenAValueIsNegativeOrNone_Throws(double value) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Shares.Tenths([1, value]));
}
