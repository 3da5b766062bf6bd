using CsCheck;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Tests.Quantities;

public class LinearDensityTests
{
    private const double Relative = 1e-12;
    private static readonly Gen<LinearDensity> AnyDensity = Gen.Double[5, 20_000].Select(LinearDensity.FromMetresPer100Grams);
    private static readonly Gen<Mass> AnyMass = Gen.Long[0, 100_000_000].Select(Mass.FromMilligrams);

    // Computed from exact constants: 2/28 in the metric count is Nm 14 = 1400 m/100 g = 1531.06 yd/100 g.
    [Fact]
    public void Known_MetricCount()
    {
        LinearDensity density = LinearDensity.FromMetresPer100Grams(1400);
        Assert.Equal(14, density.Nm, 12);
        Assert.Equal(1531.06, density.YardsPer100Grams, 0.005);
    }

    // tex × Nm = 1000 (ISO 1144); tex 30 is Nm 33.3 (agricultural-college textile text).
    [Fact]
    public void Known_Tex30()
    {
        Assert.Equal(33.3, LinearDensity.FromTex(30).Nm, 0.05);
        Assert.Equal(30, LinearDensity.FromTex(30).Tex, 12);
    }

    // Japanese bands, common practice: 40 g to 120 m is Nm 3 = 328.1 yd/100 g, 40 g to 80 m is 218.7 (computed).
    [Theory]
    [InlineData(120, 328.1)]
    [InlineData(80, 218.7)]
    public void Known_FortyGramBalls(double metres, double yardsPer100Grams) =>
        Assert.Equal(yardsPer100Grams, LinearDensity.FromMetresPer100Grams(metres * 100 / 40).YardsPer100Grams, 0.05);

    // Low end of aran, 170 yd to 100 g (common practice): 150 g give 255.0 yd.
    [Fact]
    public void Known_AranLowEnd() =>
        Assert.Equal(255.0, LinearDensity.FromYardsPer100Grams(170).LengthOf(Mass.FromGrams(150)).Yards, 1e-9);

    [Fact]
    public void Roundtrip_MassThroughLength() => AnyDensity.Select(AnyMass).Sample((density, mass) => density.MassOf(density.LengthOf(mass)) == mass);

    [Fact]
    public void Roundtrip_Units() => AnyDensity.Sample(density =>
        Near(LinearDensity.FromYardsPer100Grams(density.YardsPer100Grams), density) && Near(LinearDensity.FromTex(density.Tex), density));

    [Fact]
    public void Known_LengthAddsUpWithMass() => AnyDensity.Select(AnyMass, AnyMass).Sample((density, a, b) =>
        Math.Abs((density.LengthOf(a) + density.LengthOf(b) - density.LengthOf(a + b)).Metres) <= Relative * density.LengthOf(a + b).Metres);

    [Fact]
    public void Known_FinerYarnIsGreater() => AnyDensity.Select(AnyDensity).Sample((a, b) =>
        a < b == a.Tex > b.Tex && a > b == b < a && a <= b == !(a > b) && a >= b == !(a < b) && Math.Sign(a.CompareTo(b)) == Math.Sign(a.MetresPer100Grams - b.MetresPer100Grams));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.PositiveInfinity)]
    public void Invalid_Density(double value)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => LinearDensity.FromMetresPer100Grams(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => LinearDensity.FromYardsPer100Grams(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => LinearDensity.FromTex(value));
    }

    [Fact]
    public void Extreme_NoYarnHasNoLengthAndNoMass()
    {
        Assert.Equal(Length.Zero, default(LinearDensity).LengthOf(Mass.FromGrams(100)));
        Assert.Throws<InvalidOperationException>(() => default(LinearDensity).MassOf(Length.FromMetres(1)));
    }

    private static bool Near(LinearDensity a, LinearDensity b) => Math.Abs(a.MetresPer100Grams - b.MetresPer100Grams) <= Relative * b.MetresPer100Grams;
}
