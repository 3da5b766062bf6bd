using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class HeldStrandsTests
{
    // Computed: 1/Y = Σ 1/Yᵢ.
    [Theory]
    [InlineData(230, 230, 115)]
    [InlineData(230, 420, 148.6)]
    public void Known_LengthPerMassTogether(double one, double other, double together) => Assert.Equal(
        together,
        HeldStrands.Together(LinearDensity.FromYardsPer100Grams(one), LinearDensity.FromYardsPer100Grams(other)).YardsPer100Grams,
        0.05);

    // Computed: two at 13 wraps are 9.19 round and 6.5 flat.
    [Fact]
    public void Known_WrapsTogether()
    {
        Assert.Equal(9.19, HeldStrands.RoundWraps(13, 13), 0.005);
        Assert.Equal(6.5, HeldStrands.FlatWraps(13, 13), 1e-12);
        Assert.Equal(12, HeldStrands.RoundWraps(12), 1e-12);
    }

    [Fact]
    public void Known_OneLotForBothHalvesItAndTwoLotsGiveTheShorter()
    {
        Assert.Equal(100, HeldStrands.FromOneLot(Length.FromMetres(200), 2).Metres);
        Assert.Equal(150, HeldStrands.FromTwoLots(Length.FromMetres(200), Length.FromMetres(150)).Metres);
    }

    // Common practice: two strands of DK stand in for bulky.
    [Fact]
    public void Known_TwoStrandsOfDkStandInForBulky()
    {
        Assert.Equal(WeightClass.Bulky, StrandSubstitutes.Default.StandInFor(WeightClass.Dk, 2));
        Assert.Null(StrandSubstitutes.Default.StandInFor(WeightClass.Dk, 3));
        Assert.Null(StrandSubstitutes.Default.StandInFor(WeightClass.Sport, 2));
    }

    [Fact]
    public void Roundtrip_AGuildsOwnRule()
    {
        StrandSubstitutes own = StrandSubstitutes.Create([new(WeightClass.Fingering, 2, WeightClass.Dk), new(WeightClass.Fingering, 3, WeightClass.Aran)]).Value;
        Assert.Equal(WeightClass.Dk, own.StandInFor(WeightClass.Fingering, 2));
        Assert.Equal(WeightClass.Aran, own.StandInFor(WeightClass.Fingering, 3));
    }

    [Theory]
    [InlineData(WeightClass.Dk, 1, WeightClass.Bulky, "1 strands")]
    [InlineData(WeightClass.Dk, 13, WeightClass.Bulky, "2 to 12")]
    [InlineData(WeightClass.Dk, 2, WeightClass.Sport, "2 strands of DK can't stand in for Sport")]
    [InlineData((WeightClass)77, 2, WeightClass.Sport, "known class")]
    public void Invalid_Rule(WeightClass from, int strands, WeightClass to, string told) =>
        Refused.With(StrandSubstitutes.Create([new(from, strands, to)]), "substitutes", told);

    [Fact]
    public void Invalid_TwoRulesForTheSame() =>
        Refused.With(StrandSubstitutes.Create([new(WeightClass.Dk, 2, WeightClass.Bulky), new(WeightClass.Dk, 2, WeightClass.Jumbo)]), "substitutes", "2 rules for 2 strands", "dk");

    [Fact]
    public void Invalid_Strands()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => HeldStrands.Together());
        Assert.Throws<ArgumentOutOfRangeException>(() => HeldStrands.RoundWraps(13, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeldStrands.FlatWraps(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeldStrands.FromOneLot(Length.Zero, 0));
    }
}
