using System.Globalization;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Tests.Quantities;

public class BandTests
{
    [Fact]
    public void Known_DensityOfABand()
    {
        Band band = Band.Create(125, 50).Value;
        Assert.Equal(250, band.Density.MetresPer100Grams);
        Assert.Equal((125.0, 50m), (band.Length.Metres, band.Mass.Grams));
    }

    [Theory]
    [InlineData("1", "1")]
    [InlineData("1", "20")]
    [InlineData("200", "1")]
    [InlineData("20000", "5000")]
    [InlineData("20000", "100")]
    [InlineData("250", "5000")]
    public void Extreme_BandIsTaken(string metres, string grams) => Assert.True(Band.Create(Decimal(metres), Decimal(grams)).IsOk);

    [Theory]
    [InlineData("0.99", "50", "band.metres", "1 to 20,000 m")]
    [InlineData("20001", "500", "band.metres", "1 to 20,000 m")]
    [InlineData("-5", "50", "band.metres", "1 to 20,000 m")]
    [InlineData("125", "0", "band.grams", "1 to 5,000 g")]
    [InlineData("125", "0.9", "band.grams", "1 to 5,000 g")]
    [InlineData("5000", "5001", "band.grams", "1 to 5,000 g")]
    [InlineData("1", "50", "band.metres", "5 to 20,000")]
    [InlineData("201", "1", "band.metres", "5 to 20,000")]
    [InlineData("79228162514264337593543950335", "1", "band.metres", "1 to 20,000 m")]
    public void Invalid_Band(string metres, string grams, string field, string allowed) =>
        Refused.With(Band.Create(Decimal(metres), Decimal(grams)), field, allowed);

    [Fact]
    public void Invalid_BothFieldsAreTold() =>
        Assert.Equal(["band.metres", "band.grams"], Band.Create(0, 0).Refusals.Select(refusal => refusal.Field));

    [Fact]
    public void Known_EqualByValue() => Assert.Equal(Band.Create(125, 50).Value, Band.Create(125.0m, 50.0m).Value);

    private static decimal Decimal(string text) => decimal.Parse(text, CultureInfo.InvariantCulture);
}
