using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Rules;

public class GuardTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2.5)]
    [InlineData(4)]
    public void Extreme_EndsAreAllowed(double value) => Assert.Equal(value, Guard.InRange(value, 1, 4, nameof(value)));

    [Theory]
    [InlineData(0.999)]
    [InlineData(4.001)]
    [InlineData(double.NaN)]
    [InlineData(double.NegativeInfinity)]
    public void Invalid_ValueAndRangeAreTold(double value)
    {
        ArgumentOutOfRangeException thrown = Assert.Throws<ArgumentOutOfRangeException>(() => Guard.InRange(value, 1, 4, nameof(value)));
        Assert.Contains("allowed is 1 to 4", thrown.Message, StringComparison.Ordinal);
        Assert.Equal("value", thrown.ParamName);
    }

    [Fact]
    public void Invalid_WholeAndDecimalNumbers()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Guard.InRange(5L, 1L, 4L, "count"));
        Assert.Throws<ArgumentOutOfRangeException>(() => Guard.InRange(4.1m, 1m, 4m, "grams"));
        Assert.Equal(4L, Guard.InRange(4L, 1L, 4L, "count"));
        Assert.Equal(1m, Guard.InRange(1m, 1m, 4m, "grams"));
    }
}
