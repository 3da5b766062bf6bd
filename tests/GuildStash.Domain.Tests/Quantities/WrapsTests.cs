using System.Globalization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Quantities;

public class WrapsTests
{
    [Fact]
    public void Known_MeanOfCountAndRepeatsOverTheLength()
    {
        Assert.Equal(10, Wraps.Create(20, 2).Value.PerInch);
        Assert.Equal(10.5, Wraps.Create(20, 2, [21, 22]).Value.PerInch);
        Assert.Equal(11.5, Wraps.Create(11.5m, 1, [11, 12]).Value.PerInch);
    }

    [Theory]
    [InlineData("1", "1")]
    [InlineData("12", "12")]
    [InlineData("0.5", "200", false)]
    [InlineData("200", "2")]
    [InlineData("50", "0.5")]
    public void Extreme_Ranges(string count, string inches, bool isTaken = true) =>
        Assert.Equal(isTaken, Wraps.Create(Decimal(count), Decimal(inches)).IsOk);

    [Theory]
    [InlineData("0", "1", "wraps.count", "1 to 200")]
    [InlineData("-3", "1", "wraps.count", "1 to 200")]
    [InlineData("200.5", "2", "wraps.count", "1 to 200")]
    [InlineData("10", "0.4", "wraps.inches", "0.5 to 12")]
    [InlineData("10", "0", "wraps.inches", "0.5 to 12")]
    [InlineData("10", "12.1", "wraps.inches", "0.5 to 12")]
    [InlineData("51", "0.5", "wraps.count", "1 to 100")]
    [InlineData("10", "11", "wraps.count", "1 to 100")]
    [InlineData("79228162514264337593543950335", "1", "wraps.count", "1 to 200")]
    public void Invalid_CountOrLength(string count, string inches, string field, string allowed) =>
        Refused.With(Wraps.Create(Decimal(count), Decimal(inches)), field, allowed);

    [Fact]
    public void Invalid_Repeats()
    {
        Refused.With(Wraps.Create(10, 1, [10, 0]), "wraps.repeats", "0 wraps", "1 to 200");
        Refused.With(Wraps.Create(10, 1, [.. Enumerable.Repeat(10m, 21)]), "wraps.repeats", "21", "20");
    }

    [Fact]
    public void Invalid_EveryFieldIsTold()
    {
        Outcome<Wraps> outcome = Wraps.Create(0, 0, [-1]);
        Assert.Equal(["wraps.count", "wraps.inches", "wraps.repeats"], outcome.Refusals.Select(refusal => refusal.Field));
    }

    [Fact]
    public void Known_EqualByValueAndApartFromTheCallersList()
    {
        List<decimal> repeats = [11];
        Wraps wraps = Wraps.Create(10, 1, repeats).Value;
        Assert.Equal(Wraps.Create(10, 1, [11]).Value, wraps);
        Assert.Equal(Wraps.Create(10, 1, [11]).Value.GetHashCode(), wraps.GetHashCode());
        Assert.NotEqual(Wraps.Create(10, 1, [12]).Value, wraps);
        repeats[0] = 99;
        Assert.Equal(10.5, wraps.PerInch);
    }

    private static decimal Decimal(string text) => decimal.Parse(text, CultureInfo.InvariantCulture);
}
