using CsCheck;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class YardageEstimateTests
{
    private static readonly YardageEstimate Aran = YardageEstimator.Estimate(new() { AssertedClass = WeightClass.Aran }, WeightClassTable.Default)!;

    private static readonly Gen<Mass> AnyMass = Gen.Long[1, 25_000_000].Select(Mass.FromMilligrams);

    // Computed: d/√6 = 2.0412 g at d = 5 g, on 25 g 8.165 %; aran's own half width ln √(200/170) = 0.081259;
    // low = likely·exp(−√(0.081259² + (1.644854·0.081650)²)), likely = 0.25·√(170·200) = 46.0977 yd.
    [Fact]
    public void Known_CoarseScaleOnALightLot()
    {
        LengthRange length = Aran.LengthOf(Mass.FromGrams(25), Mass.FromGrams(5));
        Assert.Equal(39.4010, length.Low.Yards, 0.0005);
        Assert.Equal(46.0977, length.Likely.Yards, 0.0005);
        Assert.Equal(53.9326, length.High.Yards, 0.0005);
    }

    [Fact]
    public void Known_NoDivisionCountsAsExact()
    {
        Assert.Equal(Aran.LengthOf(Mass.FromGrams(80)), Aran.LengthOf(Mass.FromGrams(80), Mass.Zero));
        Assert.Equal(Aran.Low.LengthOf(Mass.FromGrams(80)), Aran.LengthOf(Mass.FromGrams(80)).Low);
    }

    [Fact]
    public void Known_CoarserScalePromisesLess() => AnyMass.Select(Gen.Long[0, 50_000], Gen.Long[1, 50_000]).Sample((mass, division, more) =>
    {
        LengthRange fine = Aran.LengthOf(mass, Mass.FromMilligrams(division));
        LengthRange coarse = Aran.LengthOf(mass, Mass.FromMilligrams(division + more));
        return coarse.Low <= fine.Low && coarse.Likely == fine.Likely && coarse.High >= fine.High;
    });

    [Fact]
    public void Known_MoreMassPromisesMore() => AnyMass.Select(Gen.Long[1, 1_000_000], Gen.Long[0, 5_000]).Sample((mass, more, division) =>
        Aran.LengthOf(mass + Mass.FromMilligrams(more), Mass.FromMilligrams(division)).Low > Aran.LengthOf(mass, Mass.FromMilligrams(division)).Low);

    [Fact]
    public void Extreme_NothingLeftHasNoLength() =>
        Assert.Equal(default, Aran.LengthOf(Mass.Zero, Mass.FromGrams(5)));

    [Fact]
    public void Extreme_AMilligramOnAKitchenScaleStaysFinite()
    {
        LengthRange length = Aran.LengthOf(Mass.FromMilligrams(1), Mass.FromGrams(5));
        Assert.True(length.Low >= Length.Zero);
        Assert.Equal(Aran.High.LengthOf(Mass.FromMilligrams(5_001)), length.High);
    }

    [Fact]
    public void Invalid_NegativeMassOrDivision()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Aran.LengthOf(Mass.FromGrams(-1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => Aran.LengthOf(Mass.FromGrams(1), Mass.FromGrams(-1)));
    }

    [Fact]
    public void Roundtrip_TextureKeys()
    {
        Assert.Equal(["smooth", "fuzzy", "boucle", "thickAndThin", "ribbon", "chenille", "metallic"], Enum.GetValues<Texture>().Select(each => each.Key()));
        Assert.All(Enum.GetValues<Texture>(), each => Assert.True(TextureTerms.TryParse(each.Key(), out Texture read) && read == each));
        Assert.False(TextureTerms.TryParse("rough", out _));
    }
}
