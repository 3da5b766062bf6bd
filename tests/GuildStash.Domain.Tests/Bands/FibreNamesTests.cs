using GuildStash.Domain.Bands;
using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Tests.Bands;

public class FibreNamesTests
{
    // Generic names of Regulation (EU) 1007/2011 annex I and ISO 2076 in the four languages, and usual compounds: from memory.
    [Theory]
    [InlineData("WO", "wool", "Wolle", "laine", "lana", "毛", "ウール", "Merinowolle", "extra fine merino wool", "Schafwolle", "Lammwolle", "laine d'agneau")]
    [InlineData("WV", "virgin wool", "Schurwolle", "laine vierge", "lana virgen", "pure new wool", "reine Schurwolle", "Merino-Schurwolle")]
    [InlineData("WM", "mohair", "Mohair", "kid mohair", "モヘヤ")]
    [InlineData("WP", "alpaca", "Alpaka", "alpaga", "baby alpaca", "アルパカ")]
    [InlineData("WS", "cashmere", "Kaschmir", "cachemire", "cachemira", "カシミヤ")]
    [InlineData("WA", "angora", "アンゴラ")]
    [InlineData("SE", "silk", "Seide", "soie", "seda", "絹", "シルク", "Naturseide", "mulberry silk")]
    [InlineData("CO", "cotton", "Baumwolle", "coton", "algodón", "綿", "コットン", "organic cotton", "mercerised cotton")]
    [InlineData("LI", "linen", "flax", "Leinen", "lin", "lino", "リネン", "亜麻")]
    [InlineData("HA", "hemp", "Hanf", "chanvre", "cáñamo", "ヘンプ")]
    [InlineData("CV", "viscose", "Viskose", "viscosa", "レーヨン", "ビスコース", "viscose from bamboo")]
    [InlineData("CMD", "modal", "Modal", "モダール")]
    [InlineData("CLY", "lyocell", "Lyocell", "リヨセル")]
    [InlineData("CA", "acetate", "Acetat", "Azetat", "acétate", "acetato", "アセテート")]
    [InlineData("PAN", "acrylic", "Polyacryl", "acrylique", "acrílico", "アクリル", "ｱｸﾘﾙ")]
    [InlineData("PA", "nylon", "polyamide", "Polyamid", "poliamida", "nailon", "nylon", "ナイロン")]
    [InlineData("PES", "polyester", "poliéster", "ポリエステル", "recycled polyester")]
    [InlineData("PP", "polypropylene", "Polypropylen", "polypropylène", "polipropileno", "ポリプロピレン")]
    [InlineData("EL", "elastane", "Elasthan", "élasthanne", "elastano", "ポリウレタン")]
    [InlineData("ME", "metallic", "metallisierte Faser", "Metallfaser", "fibre métallique", "métallique", "fibra metálica", "metálico", "lamé", "ラメ", "金属繊維")]
    public void Known_Names(string code, params string[] names) => Assert.All(names.Append(code).Append(code.ToLowerInvariant()), name =>
    {
        Assert.True(FibreNames.TryFind(name, out Fibre? fibre), name);
        Assert.Equal(code, fibre.Code);
    });

    [Fact]
    public void Known_EveryFibreHasAName() => Assert.All(FibreTable.All, fibre =>
        Assert.True(FibreNames.TryFind(fibre.Name.ToString(), out Fibre? found) && found == fibre, fibre.Code));

    // 麻 is linen or ramie, soy and bamboo "silk" are none: they stay unknown.
    [Theory]
    [InlineData("麻")]
    [InlineData("bamboo silk")]
    [InlineData("Kunstseide")]
    [InlineData("毛糸")]
    [InlineData("wool silk")]
    [InlineData("yak")]
    [InlineData("fine")]
    [InlineData("")]
    [InlineData(null)]
    public void Invalid_Name(string? name) => Assert.False(FibreNames.TryFind(name, out _));

    [Fact]
    public void Extreme_ManyQualities() => Assert.False(FibreNames.TryFind(string.Concat(Enumerable.Repeat("fine ", 90)) + "wool", out _));
}
