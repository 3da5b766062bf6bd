using GuildStash.Domain.Bands;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Tests.Bands;

public class ThicknessTests
{
    // UK and AU ply names, common practice, about.
    [Theory]
    [InlineData(2, WeightClass.Lace)]
    [InlineData(3, WeightClass.Fingering)]
    [InlineData(4, WeightClass.Fingering)]
    [InlineData(5, WeightClass.Sport)]
    [InlineData(8, WeightClass.Dk)]
    [InlineData(10, WeightClass.Medium)]
    [InlineData(12, WeightClass.Bulky)]
    public void Known_PlyNames(int ply, WeightClass expected)
    {
        Assert.Equal([expected], Thickness.FromPly(ply, PlyCountry.UnitedKingdom).Value.Classes);
        Assert.Equal([expected], Thickness.FromPly(ply, PlyCountry.Australia).Value.Classes);
    }

    // Common practice: 14 ply is bulky to super bulky.
    [Fact]
    public void Known_FourteenPlyIsEither() =>
        Assert.Equal([WeightClass.Bulky, WeightClass.SuperBulky], Thickness.FromPly(14, PlyCountry.Australia).Value.Classes);

    // Common practice: a US "4-ply" on old acrylic is class 4, a UK "4 ply" class 1.
    [Fact]
    public void FromPly_WhenFourWithoutACountry_AsksAndGuessesNothing()
    {
        Thickness asked = Thickness.FromPly(4).Value;
        Assert.Equal(BandQuestion.PlyCountry, asked.Question);
        Assert.Empty(asked.Classes);
        Assert.Equal(4, Assert.Single(Thickness.FromPly(4, PlyCountry.UnitedStates).Value.Classes).StandardNumber());
        Assert.Equal(1, Assert.Single(Thickness.FromPly(4, PlyCountry.UnitedKingdom).Value.Classes).StandardNumber());
    }

    [Theory]
    [InlineData(2, true)]
    [InlineData(3, true)]
    [InlineData(5, false)]
    [InlineData(8, false)]
    [InlineData(14, false)]
    public void FromPly_WhenACountOfStrandsIsAsLikely_Asks(int ply, bool asks) =>
        Assert.Equal(asks, Thickness.FromPly(ply).Value.Question == BandQuestion.PlyCountry);

    [Theory]
    [InlineData(2, PlyCountry.UnitedStates, "counts strands")]
    [InlineData(8, PlyCountry.UnitedStates, "counts strands")]
    [InlineData(7, PlyCountry.UnitedKingdom, "no usual name")]
    [InlineData(1, PlyCountry.UnitedKingdom, "no usual name")]
    public void FromPly_WhenItNamesNoThickness_SaysSo(int ply, PlyCountry country, string told)
    {
        Thickness thickness = Thickness.FromPly(ply, country).Value;
        Assert.Empty(thickness.Classes);
        Assert.Null(thickness.Question);
        Assert.Contains(told, thickness.Remark!.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-4)]
    [InlineData(25)]
    [InlineData(int.MaxValue)]
    public void Invalid_Ply(int ply) => Refused.With(Thickness.FromPly(ply, PlyCountry.Australia), "ply", $"{ply} ply", "1 to 24");

    // Craft Yarn Council, Standard Yarn Weight System (numbers only).
    [Theory]
    [InlineData(0, WeightClass.Lace)]
    [InlineData(1, WeightClass.Fingering)]
    [InlineData(2, WeightClass.Sport)]
    [InlineData(3, WeightClass.Dk)]
    [InlineData(4, WeightClass.Medium)]
    [InlineData(5, WeightClass.Bulky)]
    [InlineData(6, WeightClass.SuperBulky)]
    [InlineData(7, WeightClass.Jumbo)]
    public void Known_StandardNumbers(int number, WeightClass expected)
    {
        Thickness thickness = Thickness.FromStandardNumber(number).Value;
        Assert.Equal([expected], thickness.Classes);
        Assert.Equal(number == 6, thickness.Remark?.ToString().Contains("may be today's 7", StringComparison.Ordinal) == true);
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(8)]
    public void Invalid_StandardNumber(int number) => Refused.With(Thickness.FromStandardNumber(number), "standardNumber", $"weight {number}", "0 to 7");

    // Metres per gram, about: common practice.
    [Theory]
    [InlineData("超極細", "cho-gokuboso", 10.0, 10)]
    [InlineData("極細", "gokuboso", 8.0, 8)]
    [InlineData("合細", "aiboso", 6.0, 6)]
    [InlineData("中細", "Chuboso", 4.0, 4)]
    [InlineData("合太", "AIBUTO", 3.0, 3)]
    [InlineData("並太", "namibuto", 2.0, 2.75)]
    [InlineData("極太", "gokubuto", 1.0, 2)]
    [InlineData("超極太", "chō-gokubuto", null, 1)]
    public void Known_JapaneseNames(string kanji, string romanised, double? min, double max)
    {
        Assert.True(Thickness.TryParse(kanji, out Thickness thickness));
        Assert.Equal(((decimal?)min, (decimal?)max), (thickness.MinMetresPerGram, thickness.MaxMetresPerGram));
        Assert.Empty(thickness.Classes);
        Assert.True(Thickness.TryParse(romanised, out Thickness again));
        Assert.Equal(thickness.Name, again.Name);
    }

    // Trade types of the Standard Yarn Weight System's classes.
    [Theory]
    [InlineData("lace", WeightClass.Lace)]
    [InlineData("fingering", WeightClass.Fingering)]
    [InlineData("Sock Yarn", WeightClass.Fingering)]
    [InlineData("sport weight", WeightClass.Sport)]
    [InlineData("DK", WeightClass.Dk)]
    [InlineData("double-knitting", WeightClass.Dk)]
    [InlineData("light worsted", WeightClass.Dk)]
    [InlineData("worsted", WeightClass.Worsted)]
    [InlineData("ARAN", WeightClass.Aran)]
    [InlineData("chunky", WeightClass.Bulky)]
    [InlineData("Super Chunky", WeightClass.SuperBulky)]
    [InlineData("super bulky", WeightClass.SuperBulky)]
    [InlineData("jumbo", WeightClass.Jumbo)]
    public void Known_TradeNames(string name, WeightClass expected)
    {
        Assert.True(Thickness.TryParse(name, out Thickness thickness));
        Assert.Equal([expected], thickness.Classes);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("rug")]
    [InlineData("dk something")]
    [InlineData("太")]
    public void Invalid_Name(string? name) => Assert.False(Thickness.TryParse(name, out _));

    [Fact]
    public void Extreme_LongName() => Assert.False(Thickness.TryParse(new string(' ', 100_000) + "dk", out _));

    [Fact]
    public void Roundtrip_CountryKeys()
    {
        Assert.Equal(["uk", "au", "us"], PlyCountryTerms.Keys);
        Assert.All(Enum.GetValues<PlyCountry>(), country => Assert.True(PlyCountryTerms.TryParse(country.Key(), out PlyCountry read) && read == country));
    }
}
