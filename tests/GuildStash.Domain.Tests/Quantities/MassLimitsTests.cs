using System.Globalization;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Tests.Quantities;

public class MassLimitsTests
{
    [Theory]
    [InlineData("0.001", 1)]
    [InlineData("0.0006", 1)]
    [InlineData("50", 50_000)]
    [InlineData("24999.999", 24_999_999)]
    [InlineData("25000", 25_000_000)]
    public void Extreme_LotMassIsTaken(string grams, long milligrams) => Assert.Equal(milligrams, MassLimits.LotMass(Decimal(grams)).Value.Milligrams);

    [Theory]
    [InlineData("40000")]
    [InlineData("25000.0001")]
    [InlineData("0")]
    [InlineData("0.0005")]
    [InlineData("-1")]
    [InlineData("-79228162514264337593543950335")]
    [InlineData("79228162514264337593543950335")]
    public void Invalid_LotMass(string grams) => Refused.With(MassLimits.LotMass(Decimal(grams)), "grams", grams, "25,000 g");

    [Fact]
    public void Extreme_BagMassIsTaken() => Assert.Equal(100_000m, MassLimits.BagMass(100_000).Value.Grams);

    [Theory]
    [InlineData("100000.001")]
    [InlineData("0")]
    [InlineData("-3")]
    public void Invalid_BagMass(string grams) => Refused.With(MassLimits.BagMass(Decimal(grams)), "grossGrams", grams, "100,000 g");

    [Fact]
    public void Invalid_FieldIsTheCallers() => Refused.With(MassLimits.BagMass(0, "tareGrams"), "tareGrams");

    private static decimal Decimal(string text) => decimal.Parse(text, CultureInfo.InvariantCulture);
}
