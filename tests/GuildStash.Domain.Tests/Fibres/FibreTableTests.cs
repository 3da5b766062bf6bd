using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Tests.Fibres;

public class FibreTableTests
{
    // Codes as on ball bands: from memory, DIN 60001.
    [Fact]
    public void Known_Codes() => Assert.Equal(
        ["WO", "WV", "WM", "WP", "WS", "WA", "SE", "CO", "LI", "HA", "CV", "CMD", "CLY", "PAN", "PA", "PES", "EL", "ME"],
        FibreTable.All.Select(fibre => fibre.Code));

    // g/cm³: Morton and Hearle, Physical Properties of Textile Fibres, table 5.1.
    [Theory]
    [InlineData("CO", 1.52)]
    [InlineData("CV", 1.49)]
    [InlineData("PES", 1.39)]
    [InlineData("SE", 1.34)]
    [InlineData("WO", 1.31)]
    [InlineData("PAN", 1.19)]
    [InlineData("PA", 1.14)]
    public void Known_Densities(string code, double density)
    {
        Assert.True(FibreTable.TryFind(code, out Fibre? fibre));
        Assert.Equal(density, fibre.Density);
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
}
