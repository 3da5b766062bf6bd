using CsCheck;
using GuildStash.Domain.Colours;

namespace GuildStash.Domain.Tests.Colours;

public class ColourNamesTests
{
    // Centroids name themselves: NBS Special Publication 440; Kelly, J. Res. NBS 61(5), 1958. Spelling British.
    [Theory]
    [InlineData("#ffb5ba", ColourFamily.Pink, "vivid pink")]
    [InlineData("#be0032", ColourFamily.Red, "vivid red")]
    [InlineData("#008882", ColourFamily.Teal, "vivid bluish green")]
    [InlineData("#222222", ColourFamily.Black, "black")]
    [InlineData("#848482", ColourFamily.Grey, "medium grey")]
    [InlineData("#f2f3f4", ColourFamily.White, "white")]
    [InlineData("#665d1e", ColourFamily.Green, "moderate olive")]
    [InlineData("#f0ead6", ColourFamily.Beige, "yellowish white")]
    public void Known_Centroids(string hex, ColourFamily family, string name) => Assert.Equal((family, name), Describe(hex));

    // Every centroid but row 27, whose sRGB value is in conflict, is its own nearest.
    [Fact]
    public void Known_EachCentroidHasItsOwnName() => Assert.Equal(
        266,
        TestTable.Read("Colours.iscc-nbs-lab.csv").Select(row => Describe(row[1]).Name).Distinct().Count());

    // Families of plain sRGB colours, by the basic terms of Berlin and Kay 1969.
    [Theory]
    [InlineData("#ff0000", ColourFamily.Red)]
    [InlineData("#cc0000", ColourFamily.Red)]
    [InlineData("#ed1c24", ColourFamily.Red)]
    [InlineData("#b22222", ColourFamily.Red)]
    [InlineData("#ffa500", ColourFamily.Orange)]
    [InlineData("#ff7f00", ColourFamily.Orange)]
    [InlineData("#ffff00", ColourFamily.Yellow)]
    [InlineData("#008000", ColourFamily.Green)]
    [InlineData("#008080", ColourFamily.Teal)]
    [InlineData("#0000ff", ColourFamily.Blue)]
    [InlineData("#000080", ColourFamily.Blue)]
    [InlineData("#800080", ColourFamily.Purple)]
    [InlineData("#ffc0cb", ColourFamily.Pink)]
    [InlineData("#8b4513", ColourFamily.Brown)]
    [InlineData("#f5f5dc", ColourFamily.Beige)]
    [InlineData("#ffffff", ColourFamily.White)]
    [InlineData("#808080", ColourFamily.Grey)]
    [InlineData("#000000", ColourFamily.Black)]
    [InlineData("#013220", ColourFamily.Green)]
    [InlineData("#1b2a49", ColourFamily.Blue)]
    public void Known_Families(string hex, ColourFamily family) => Assert.Equal(family, Describe(hex).Family);

    [Fact]
    public void Known_267Names()
    {
        Assert.Equal(267, ColourNames.All.Count());
        Assert.DoesNotContain(ColourNames.All, name => name.Contains("gray", StringComparison.Ordinal));
    }

    [Fact]
    public void Known_EveryColourHasAFamilyAndAName() => Gen.Select(Gen.Byte, Gen.Byte, Gen.Byte).Sample((r, g, b) =>
    {
        (ColourFamily family, string name) = ColourNames.Describe(new(r, g, b));
        return family != ColourFamily.Multicolour && ColourNames.All.Contains(name);
    });

    [Fact]
    public void Roundtrip_FamilyKeys()
    {
        Assert.Equal(
            ["pink", "red", "orange", "yellow", "green", "teal", "blue", "purple", "brown", "beige", "white", "grey", "black", "multicolour"],
            Enum.GetValues<ColourFamily>().Select(each => each.Key()));
        Assert.All(Enum.GetValues<ColourFamily>(), each => Assert.True(ColourFamilyTerms.TryParse(each.Key(), out ColourFamily read) && read == each));
        Assert.False(ColourFamilyTerms.TryParse("mauve", out _));
        Assert.Equal("Grey", ColourFamily.Grey.Name().ToString());
    }

    private static (ColourFamily Family, string Name) Describe(string hex) => ColourNames.Describe(Colour.Parse(hex).Value);
}
