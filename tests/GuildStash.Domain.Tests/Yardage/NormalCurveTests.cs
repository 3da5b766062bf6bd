using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class NormalCurveTests
{
    // Standard normal distribution, Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.1 (15 digits, from memory); the
    // far tail computed from its asymptotic series.
    [Theory]
    [InlineData(0, 0.5)]
    [InlineData(1, 0.841344746068543)]
    [InlineData(2, 0.977249868051821)]
    [InlineData(3, 0.998650101968370)]
    [InlineData(-1.6448536269514722, 0.05)]
    [InlineData(1.959963984540054, 0.975)]
    public void Known_ShareBelow(double z, double share) => Assert.Equal(share, NormalCurve.Below(z), 1e-14);

    [Theory]
    [InlineData(-8, 6.22096057427178e-16)]
    [InlineData(-10, 7.61985302416053e-24)]
    public void Known_FarTail(double z, double share) => Assert.Equal(1, NormalCurve.Below(z) / share, 1e-8);

    [Theory]
    [InlineData(double.PositiveInfinity, 1)]
    [InlineData(double.NegativeInfinity, 0)]
    [InlineData(-1e300, 0)]
    public void Extreme_ShareBelow(double z, double share) => Assert.Equal(share, NormalCurve.Below(z));

    [Theory]
    [InlineData(1e-12)]
    [InlineData(0.00135)]
    [InlineData(0.05)]
    [InlineData(0.5)]
    [InlineData(0.77)]
    [InlineData(0.9999)]
    public void Roundtrip_PointOfAShare(double share) => Assert.Equal(share, NormalCurve.Below(NormalCurve.PointOf(share)), share * 1e-9);

    // Student's t, one-sided 5 %: any statistical table.
    [Theory]
    [InlineData(5, 2.01505)]
    [InlineData(10, 1.81246)]
    [InlineData(30, 1.69726)]
    [InlineData(120, 1.65765)]
    public void Known_Student(double freedom, double point) => Assert.Equal(point, NormalCurve.StudentNinetyFivePercent(freedom), 2e-4);

    [Fact]
    public void Extreme_StudentOfManyIsNormal() => Assert.Equal(NormalCurve.NinetyFivePercent, NormalCurve.StudentNinetyFivePercent(1e9), 1e-8);
}
