using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Tests.Fibres;

public class FibreTableTests
{
    // Codes as on ball bands: from memory, DIN 60001.
    [Fact]
    public void Known_Codes() => Assert.Equal(
        ["WO", "WV", "WM", "WP", "WS", "WA", "SE", "CO", "LI", "HA", "CV", "CMD", "CLY", "CA", "PAN", "PA", "PES", "PP", "EL", "ME"],
        FibreTable.All.Select(fibre => fibre.Code));

    // g/cm³: Morton and Hearle, Physical Properties of Textile Fibres, table 5.1. From memory: linen, hemp, modal, lyocell, acetate, elastane.
    // Mohair, alpaca and cashmere as wool: judgement.
    [Theory]
    [InlineData("CO", 1.52)]
    [InlineData("CV", 1.49)]
    [InlineData("PES", 1.39)]
    [InlineData("SE", 1.34)]
    [InlineData("WO", 1.31)]
    [InlineData("PAN", 1.19)]
    [InlineData("PA", 1.14)]
    [InlineData("PP", 0.91)]
    [InlineData("WV", 1.31)]
    [InlineData("WM", 1.31)]
    [InlineData("WP", 1.31)]
    [InlineData("WS", 1.31)]
    [InlineData("LI", 1.50)]
    [InlineData("HA", 1.48)]
    [InlineData("CMD", 1.52)]
    [InlineData("CLY", 1.52)]
    [InlineData("CA", 1.31)]
    [InlineData("EL", 1.2)]
    public void Known_Densities(string code, double density)
    {
        Assert.True(FibreTable.TryFind(code, out Fibre? fibre));
        Assert.Equal(density, fibre.Density);
    }

    // Computed by volumes: 1/(0.8/1.31 + 0.2/1.14) = 1.27206, 1/(0.5/1.52 + 0.5/1.19) = 1.33491. Not by masses, which would give 1.276 and 1.355.
    [Fact]
    public void Known_DensityOfABlend()
    {
        Assert.Equal(1.27206, FibreDensity.Of(Content(("WO", 80), ("PA", 20)))!.Value, 0.00001);
        Assert.Equal(1.33491, FibreDensity.Of(Content(("PAN", 50), ("CO", 50)))!.Value, 0.00001);
        Assert.Equal(1.52, FibreDensity.Of(Content(("CO", null))));
        Assert.Equal(1.52, FibreDensity.Of(Content(("CO", 100))));
    }

    [Fact]
    public void Known_NoDensityWhereAShareOrAFibresOwnIsUnknown()
    {
        Assert.Null(FibreDensity.Of(FibreContent.Unknown));
        Assert.Null(FibreDensity.Of(Content(("WO", null), ("CO", null))));
        Assert.Null(FibreDensity.Of(Content(("CO", 95), ("ME", 5))));
        Assert.Null(FibreDensity.Of(Content(("WA", 100))));
    }

    // Wool, hair and feathers are attacked, silk sometimes; cotton, linen and pure synthetics are not eaten (NC State Extension).
    [Fact]
    public void Known_PestsFeedOnAnimalFibresOnly() =>
        Assert.All(FibreTable.All, fibre => Assert.Equal(fibre.Kind == FibreKind.Animal, fibre.AttractsPests));

    [Fact]
    public void Known_OnlySheepGiveWool() => Assert.Equal(["WO", "WV"], FibreTable.All.Where(fibre => fibre.IsWool).Select(fibre => fibre.Code));

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("W")]
    [InlineData("WOOL")]
    public void Invalid_Code(string? code) => Assert.False(FibreTable.TryFind(code, out _));

    [Fact]
    public void Roundtrip_BasisKeys()
    {
        Assert.Equal(["unknown", "volunteerJudged", "donorSaid", "testConsistent", "bandSeen"], Enum.GetValues<FibreBasis>().Select(each => each.Key()));
        Assert.All(Enum.GetValues<FibreBasis>(), each => Assert.True(FibreBasisTerms.TryParse(each.Key(), out FibreBasis read) && read == each));
        Assert.False(FibreBasisTerms.TryParse("guessed", out _));
    }

    private static FibreContent Content(params (string Code, int? Percent)[] shares) =>
        FibreContent.Create(shares.Select(share => new FibreShare(share.Code, share.Percent))).Value;
}
