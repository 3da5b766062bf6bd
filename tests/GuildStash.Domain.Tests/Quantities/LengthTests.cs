using CsCheck;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Tests.Quantities;

public class LengthTests
{
    private const double Relative = 1e-14;
    private static readonly Gen<double> AnyMetres = Gen.Double[-1e9, 1e9];

    // 1 yd = 0.9144 m and 1 in = 25.4 mm, exact (international yard and pound agreement, 1959).
    [Fact]
    public void Known_Yard()
    {
        Assert.Equal(0.9144, Length.FromYards(1).Metres);
        Assert.Equal(1, Length.FromMetres(0.9144).Yards);
        Assert.Equal(36, Length.FromYards(1).Inches, 12);
    }

    [Fact]
    public void Roundtrip_Yards() => AnyMetres.Sample(metres =>
        Math.Abs(Length.FromYards(Length.FromMetres(metres).Yards).Metres - metres) <= Math.Abs(metres) * Relative);

    [Fact]
    public void Known_OrderFollowsMetres() => AnyMetres.Select(AnyMetres).Sample((x, y) =>
    {
        (Length a, Length b) = (Length.FromMetres(x), Length.FromMetres(y));
        return a < b == x < y && a > b == x > y && a <= b == x <= y && a >= b == x >= y && a.CompareTo(b) == x.CompareTo(y)
            && Length.Min(a, b).Metres == Math.Min(x, y) && Length.Max(a, b).Metres == Math.Max(x, y)
            && (a + b).Metres == x + y && (a - b).Metres == x - y;
    });

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    [InlineData(1.0001e12)]
    public void Invalid_Metres(double value)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Length.FromMetres(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Length.FromYards(value));
    }
}
