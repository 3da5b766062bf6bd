using CsCheck;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Tests.Quantities;

public class MassTests
{
    private static readonly Gen<Mass> AnyMass = Gen.Long[-10_000_000_000, 10_000_000_000].Select(Mass.FromMilligrams);

    // 1 lb = 453.59237 g exactly (international yard and pound agreement, 1959); 16 oz to the pound.
    [Fact]
    public void Known_PoundInOunces() => Assert.Equal(453_592, Mass.FromOunces(16).Milligrams);

    [Theory]
    [InlineData("150", 150_000)]
    [InlineData("0.0005", 0)]
    [InlineData("0.0015", 2)]
    [InlineData("0.0025", 2)]
    [InlineData("-0.0015", -2)]
    [InlineData("49.9994", 49_999)]
    public void Known_GramsRoundHalfEvenToTheMilligram(string grams, long milligrams) =>
        Assert.Equal(milligrams, Mass.FromGrams(decimal.Parse(grams, System.Globalization.CultureInfo.InvariantCulture)).Milligrams);

    [Fact]
    public void Known_GramsFromAnyNumberType()
    {
        Assert.Equal(Mass.FromMilligrams(2_500), Mass.FromGrams(2.5));
        Assert.Equal(Mass.FromMilligrams(2_500), Mass.FromGrams(2.5m));
        Assert.Equal(Mass.FromMilligrams(2_000), Mass.FromGrams(2));
    }

    [Fact]
    public void Roundtrip_Grams() => AnyMass.Sample(mass => Mass.FromGrams(mass.Grams) == mass && Mass.FromGrams((double)mass.Grams) == mass);

    [Fact]
    public void Roundtrip_Ounces() => AnyMass.Sample(mass => Mass.FromOunces((decimal)mass.Ounces) == mass);

    [Fact]
    public void Roundtrip_SumAndDifference() => AnyMass.Select(AnyMass).Sample((a, b) => a + b - b == a && a - b == -(b - a));

    [Fact]
    public void Known_OrderFollowsMilligrams() => AnyMass.Select(AnyMass).Sample((a, b) =>
        a < b == (a.Milligrams < b.Milligrams) && a > b == (b < a) && a <= b == !(a > b) && a >= b == !(a < b)
        && a.CompareTo(b) == a.Milligrams.CompareTo(b.Milligrams)
        && Mass.Min(a, b) + Mass.Max(a, b) == a + b && Mass.Min(a, b) <= Mass.Max(a, b));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    [InlineData(10_000_000.001)]
    [InlineData(-10_000_000.001)]
    public void Invalid_Grams(double grams) =>
        Assert.Contains("allowed is -10000000 to 10000000", Assert.Throws<ArgumentOutOfRangeException>(() => Mass.FromGrams(grams)).Message, StringComparison.Ordinal);

    [Fact]
    public void Invalid_DecimalsBeyondTenTonnes()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Mass.FromGrams(decimal.MaxValue));
        Assert.Throws<ArgumentOutOfRangeException>(() => Mass.FromGrams(-10_000_000.001m));
        Assert.Throws<ArgumentOutOfRangeException>(() => Mass.FromOunces(decimal.MaxValue));
        Assert.Throws<ArgumentOutOfRangeException>(() => Mass.FromOunces(decimal.MinValue));
    }

    [Fact]
    public void Extreme_TenTonnesIsTaken() => Assert.Equal(Mass.MaxValue, Mass.FromGrams(10_000_000m));

    [Fact]
    public void Extreme_SumsGrowBeyondOneWeighingAndNeverWrapAround()
    {
        Assert.Equal(20_000_000m, (Mass.MaxValue + Mass.MaxValue).Grams);
        Assert.Throws<OverflowException>(() => Mass.FromMilligrams(long.MaxValue) + Mass.FromMilligrams(1));
        Assert.Throws<OverflowException>(() => Mass.FromMilligrams(long.MinValue) - Mass.FromMilligrams(1));
        Assert.Throws<OverflowException>(() => -Mass.FromMilligrams(long.MinValue));
    }
}
