using GuildStash.Domain.Bands;
using GuildStash.Domain.Care;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Tests.Bands;

public class BandTextTests
{
    [Fact]
    public void Known_GermanBandInOneLine()
    {
        BandText band = Read("80% WO 20% PA, LL 420 m/100 g, 2,5 mm");
        // LL 420 m to 100 g is 459.3 yd to 100 g (computed).
        Assert.Equal(459.3, band.Band!.Density.YardsPer100Grams, 0.05);
        Assert.Equal("WO 80, PA 20", Fibres(band));
        Assert.Equal(new BandRange(2.5m, 2.5m), Assert.Single(band.Of<NeedleField>()).Millimetres);
        Nothing(band);
    }

    [Theory]
    [InlineData("50g/125m", 125, 50)]
    [InlineData("125 m / 50 g", 125, 50)]
    [InlineData("50 g = 125 m", 125, 50)]
    [InlineData("50 GR ~ 125 MTR", 125, 50)]
    [InlineData("40g 120m", 120, 40)]
    [InlineData("４０ｇ（約１２０ｍ）", 120, 40)]
    [InlineData("1.75 oz / 137 yds", 125.27, 49.61)]
    [InlineData("1 3/4 oz, 137 yards", 125.27, 49.61)]
    [InlineData("1¾ oz, 137 yards", 125.27, 49.61)]
    [InlineData("137 yds (125 m), 1.75 oz (50 g)", 125, 50)]
    [InlineData("50 g/1,75 oz 125 m/137 yds", 125, 50)]
    [InlineData("3.527 oz = 1,093 yds", 999.44, 99.99)]
    [InlineData("1.250 m auf 100 g", 1250, 100)]
    [InlineData("1\u00a0250 m / 100 g", 1250, 100)]
    [InlineData("1'250 m / 100 g", 1250, 100)]
    [InlineData("0,05 kg, 125 mètres", 125, 50)]
    [InlineData("420 m pro 100 Gramm", 420, 100)]
    [InlineData("14000 m/kg", 14_000, 1000)]
    [InlineData("30000 m/kg", 3000, 100)]
    [InlineData("4200 yds/lb", 3840.48, 453.59)]
    [InlineData("50 g Knäuel, Farbe blau, 125 m", 125, 50)]
    public void Known_LengthAndMass(string text, double metres, double grams)
    {
        BandText band = Read(text);
        Assert.Equal(metres, Assert.Single(band.Of<BandLengthField>()).Band.Length.Metres, 0.005);
        Assert.Equal(grams, (double)band.Band!.Mass.Grams, 0.005);
        Assert.False(band.Of<BandLengthField>().Single().MassAssumed);
        Assert.Empty(band.Conflicts);
    }

    // German LL (Lauflänge) is metres per 50 g unless the band says otherwise: from memory.
    [Theory]
    [InlineData("LL 125", 125, 50, true)]
    [InlineData("LL = ca. 210 m", 210, 50, true)]
    [InlineData("Lauflänge 125m", 125, 50, true)]
    [InlineData("LL 420/100 g", 420, 100, false)]
    [InlineData("100 g, LL 420 m", 420, 100, false)]
    [InlineData("LL 50g=ca.105m", 105, 50, false)]
    [InlineData("LL 125 m, 75% Wolle 25% Polyamid, 50 g", 125, 50, false)]
    public void Known_Lauflaenge(string text, double metres, double grams, bool assumed)
    {
        BandLengthField field = Assert.Single(Read(text).Of<BandLengthField>());
        Assert.Equal((metres, grams, assumed), (field.Band.Length.Metres, (double)field.Band.Mass.Grams, field.MassAssumed));
    }

    // Japanese bands, common practice: 40 g to 120 m is Nm 3 and sold as aibuto and as namibuto, so metres and grams win.
    [Fact]
    public void Known_JapaneseBand()
    {
        BandText band = Read("並太 40g 120m 毛100%");
        Assert.Equal(3, band.Band!.Density.Nm, 1e-9);
        Assert.Equal(328.1, band.Band.Density.YardsPer100Grams, 0.05);
        Assert.Contains("go before", Assert.Single(band.Of<ThicknessField>()).Thickness.Remark!.ToString(), StringComparison.Ordinal);
        Assert.Equal("WO 100", Fibres(band));
        Nothing(band);
    }

    [Theory]
    [InlineData("Nm 2/28", 14, 2, "Nm")]
    [InlineData("28/2 Nm", 14, 2, "Nm")]
    [InlineData("Ne 8/2", 4, 2, "Ne")]
    [InlineData("NeK 2/24", 12, 2, "worsted")]
    [InlineData("worsted 2/24", 12, 2, "worsted")]
    [InlineData("20 tex x 2", 40, 2, "tex")]
    [InlineData("R 40 tex / 2", 40, 2, "tex")]
    [InlineData("150 den", 150, 1, "denier")]
    [InlineData("167 dtex", 167, 1, "dtex")]
    [InlineData("lea 10", 10, 1, "lea")]
    [InlineData("10 lea linen", 10, 1, "lea")]
    [InlineData("3 run", 3, 1, "run")]
    [InlineData("2½ run woollen", 2.5, 1, "run")]
    [InlineData("3-run, 100% wool", 3, 1, "run")]
    [InlineData("5 cut", 5, 1, "cut")]
    [InlineData("worsted 24", 24, 1, "worsted")]
    [InlineData("20 cotton count", 20, 1, "Ne")]
    public void Known_Counts(string text, double resultant, int plies, string system)
    {
        YarnCount count = Assert.Single(Read(text).Of<CountField>()).Count!;
        Assert.Equal((resultant, plies, system), (count.Resultant, count.Plies, count.System.Key()));
    }

    // Spun silk "40/2" is the folded yarn already (common practice); in the metric count, and of any blend, the number is that of the singles.
    [Theory]
    [InlineData("100% silk, Ne 40/2", 40, CountKind.Resultant)]
    [InlineData("Ne 40/2 Seide", 40, CountKind.Resultant)]
    [InlineData("100% silk, Nm 60/2", 30, CountKind.Folded)]
    [InlineData("50% silk 50% cotton, Ne 40/2", 20, CountKind.Folded)]
    [InlineData("100% cotton, Ne 40/2", 20, CountKind.Folded)]
    [InlineData("Ne 40/2", 20, CountKind.Folded)]
    public void Known_SpunSilk(string text, double resultant, CountKind kind)
    {
        YarnCount count = Assert.Single(Read(text).Of<CountField>()).Count!;
        Assert.Equal((resultant, kind, 2), (count.Resultant, count.Kind, count.Plies));
    }

    // What looks like a single count and is none: a class of the standard, a needle, a dye lot, a mass.
    [Theory]
    [InlineData("worsted 4")]
    [InlineData("worsted 100 g")]
    [InlineData("run 3")]
    [InlineData("cut 5")]
    [InlineData("worsted 50 g 90 m")]
    public void Known_NoSingleCount(string text) => Assert.Empty(Read(text).Of<CountField>());

    // "ca." is about, not acetate.
    [Fact]
    public void Known_CircaIsNoAcetate()
    {
        BandText band = Read("80% Wolle 20% PA, ca. 210 m / ca. 50 g");
        Assert.Equal(["WO", "PA"], Assert.Single(band.Of<FibresField>()).Content!.Shares.Select(share => share.Code));
        Assert.Equal(420, band.Band!.Density.MetresPer100Grams, 1e-9);
        Assert.Equal(["CA", "PP"], Assert.Single(Read("70% CA 30% PP").Of<FibresField>()).Content!.Shares.Select(share => share.Code));
    }

    [Fact]
    public void Parse_WhenACountNamesNoSystem_AsksForIt()
    {
        Assert.Equal([BandQuestion.CountSystem], Read("8/2 100% cotton").Questions);
        BandText answered = BandText.Parse("8/2 100% cotton", new BandTextOptions(CountSystem: CountSystem.Cotton)).Value;
        Assert.Empty(answered.Questions);
        Assert.Equal(4, Assert.Single(answered.Of<CountField>()).Count!.Resultant);
        Assert.Equal(8, Assert.Single(BandText.Parse("8/2", new BandTextOptions(null, CountSystem.Cotton, CountNotation.Resultant)).Value.Of<CountField>()).Count!.Resultant);
    }

    [Fact]
    public void Parse_WhenFourPlyNamesNoCountry_AsksForIt()
    {
        Assert.Equal([BandQuestion.PlyCountry], Read("4-ply 100% acrylic").Questions);
        Assert.Contains("country", BandQuestion.PlyCountry.Name().ToString(), StringComparison.Ordinal);
        ThicknessField answered = Assert.Single(BandText.Parse("4-ply", new BandTextOptions(PlyCountry.UnitedStates)).Value.Of<ThicknessField>());
        Assert.Equal([WeightClass.Medium], answered.Thickness.Classes);
    }

    [Theory]
    [InlineData("UK 4 ply", WeightClass.Fingering)]
    [InlineData("4-ply (US)", WeightClass.Medium)]
    [InlineData("Australia 8ply", WeightClass.Dk)]
    public void Known_CountryBesideThePly(string text, WeightClass expected)
    {
        BandText band = Read(text);
        Assert.Equal([expected], Assert.Single(band.Of<ThicknessField>()).Thickness.Classes);
        Nothing(band);
    }

    [Theory]
    [InlineData("1.75 oz / 137 yds worsted 4", "Worsted|Medium")]
    [InlineData("CYC 6", "SuperBulky")]
    [InlineData("CYC 4 200 m/100 g", "Medium")]
    [InlineData("4 medium", "Medium")]
    [InlineData("double knitting (3)", "Dk|Dk")]
    [InlineData("DK 5 balls", "Dk")]
    [InlineData("3 light grey", "")]
    [InlineData("worsted-spun", "")]
    public void Known_ClassNames(string text, string classes) =>
        Assert.Equal(classes, string.Join('|', Read(text).Of<ThicknessField>().SelectMany(field => field.Thickness.Classes)));

    [Theory]
    [InlineData("100% Wolle", "WO 100")]
    [InlineData("Wolle 80 %, Polyamid 20 %", "WO 80, PA 20")]
    [InlineData("毛６０％アクリル４０％", "WO 60, PAN 40")]
    [InlineData("75 % laine vierge, 25 % nylon", "WV 75, PA 25")]
    [InlineData("70% Schurwolle (Merino) 30% Maulbeerseide", "WV 70, SE 30")]
    [InlineData("80% de lana y 20% de algodón", "WO 80, CO 20")]
    [InlineData("100% superwash extra fine merino wool", "WO 100")]
    [InlineData("99,5% WO 0,5% EL", "WO 99.5, EL 0.5")]
    [InlineData("50% merino 50% wool", "WO 100")]
    [InlineData("100% algodón mercerizado", "CO 100")]
    [InlineData("100 % Merino extrafein", "WO 100")]
    [InlineData("80 Prozent Wolle 20 Prozent Baumwolle", "WO 80, CO 20")]
    [InlineData("75% Wolle/Wool/Laine 25% Polyamid/Nylon", "WO 75, PA 25")]
    [InlineData("WO/PAN", "WO, PAN")]
    [InlineData("毛・アクリル", "WO, PAN")]
    public void Known_Fibres(string text, string expected)
    {
        BandText band = Read(text);
        Assert.Equal(expected, Fibres(band));
        Nothing(band);
    }

    [Fact]
    public void Known_SameBlendInThreeLanguagesIsNoConflict()
    {
        BandText band = Read("75% virgin wool 25% nylon / 75% Schurwolle 25% Polyamid / 75% laine vierge 25% polyamide");
        Assert.Equal(3, band.Of<FibresField>().Count());
        Assert.Empty(band.Conflicts);
    }

    [Theory]
    [InlineData("50% wool 50% moonbeam", "moonbeam")]
    [InlineData("xyz 50% wool 50%", "xyz")]
    [InlineData("80% cotton 20% bamboo silk", "bamboo silk")]
    [InlineData("毛50% 麻50%", "麻")]
    public void Parse_WhenAFibreIsUnknown_KeepsItsWord(string text, string word)
    {
        FibresField field = Assert.Single(Read(text).Of<FibresField>());
        Assert.Null(field.Content);
        Assert.Equal(word, Assert.Single(field.Fibres, fibre => fibre.Fibre is null).Word);
        Assert.Equal(100, field.Fibres.Sum(fibre => fibre.Percent));
    }

    [Theory]
    [InlineData("80% wool 17% nylon", "come to 97, not 100")]
    [InlineData("80% wool 30% moonbeam", "come to 110, not 100")]
    [InlineData("0% wool 100% silk", "share of 0 %")]
    [InlineData("101% wool", "share of 101 %")]
    public void Invalid_Percentages(string text, string told) => RefusedField(text, "fibres", told);

    [Theory]
    [InlineData("22 st x 30 rows = 10 cm", 22, 22, 30.0, false)]
    [InlineData("22 M 30 R", 22, 22, 30.0, true)]
    [InlineData("22 mailles", 22, 22, null, true)]
    [InlineData("Maschenprobe: 26-28 M x 36 R = 10 x 10 cm", 26, 28, 36.0, false)]
    [InlineData("10 x 10 cm = 22 mailles et 30 rangs", 22, 22, 30.0, false)]
    [InlineData("22目 30段", 22, 22, 30.0, true)]
    [InlineData("18 sts & 24 rows = 4\"/10 cm", 18, 18, 24.0, false)]
    [InlineData("11 sts over 5 cm", 22, 22, null, false)]
    [InlineData("18 sts to 4 in", 17.72, 17.72, null, false)]
    public void Known_Gauge(string text, double low, double high, double? rows, bool assumed)
    {
        BandText band = Read(text);
        GaugeField gauge = Assert.Single(band.Of<GaugeField>());
        Assert.Equal(new BandRange((decimal)low, (decimal)high), gauge.StitchesPer10Cm);
        Assert.Equal((decimal?)rows, gauge.RowsPer10Cm?.Low);
        Assert.Equal(assumed, gauge.LengthAssumed);
        Nothing(band);
    }

    // US sizes in mm: Craft Yarn Council, from memory.
    [Theory]
    [InlineData("3 - 3,5 mm", 3, 3.5, false)]
    [InlineData("NS 3-3½", 3, 3.5, false)]
    [InlineData("Häkelnadel Nr. 4", 4, 4, true)]
    [InlineData("4 mm crochet hook", 4, 4, true)]
    [InlineData("aiguilles n° 4", 4, 4, false)]
    [InlineData("US 7", 4.5, 4.5, false)]
    [InlineData("needles US 10 1/2", 6.5, 6.5, false)]
    [InlineData("US size 6-8 (4-5 mm)", 4, 5, false)]
    [InlineData("5mm (US8)", 5, 5, false)]
    [InlineData("4.5 mm (US 7) needles", 4.5, 4.5, false)]
    public void Known_Needles(string text, double low, double high, bool hook)
    {
        BandText band = Read(text);
        NeedleField needle = Assert.Single(band.Of<NeedleField>());
        Assert.Equal((new BandRange((decimal)low, (decimal)high), hook), (needle.Millimetres, needle.IsHook));
        Nothing(band);
    }

    [Theory]
    [InlineData("30°", "machine wash, at most 30 °C")]
    [InlineData("40 ℃", "machine wash, at most 40 °C")]
    [InlineData("superwash", "machine wash, temperature not stated")]
    [InlineData("machine wash 40 °C gentle", "machine wash, at most 40 °C, mild")]
    [InlineData("Wollwaschgang 30 Grad", "machine wash, at most 30 °C, very mild")]
    [InlineData("hand wash", "hand wash, at most 40 °C")]
    [InlineData("Handwäsche 30°", "hand wash, at most 30 °C")]
    [InlineData("手洗い", "hand wash, at most 40 °C")]
    [InlineData("nicht waschen", "do not wash")]
    [InlineData("lavable en machine", "machine wash, temperature not stated")]
    [InlineData("3 dots", "machine wash, at most 50 °C")]
    public void Known_Care(string text, string expected)
    {
        BandText band = Read(text);
        Assert.Equal(expected, Assert.Single(band.Of<CareField>()).Label.Describe().ToString());
        Nothing(band);
    }

    [Theory]
    [InlineData("Lot 1234", "1234")]
    [InlineData("dye lot: A12-3.", "A12-3")]
    [InlineData("Partie-Nr. 77/4", "77/4")]
    [InlineData("bain n° 08", "08")]
    [InlineData("ロット １２", "１２")]
    public void Known_DyeLot(string text, string expected)
    {
        BandText band = Read(text);
        Assert.Equal(expected, Assert.Single(band.Of<DyeLotField>()).DyeLot);
        Nothing(band);
    }

    [Theory]
    [InlineData("0 m / 50 g", "band.metres", "0 m on a band")]
    [InlineData("125 m / 0 g", "band.grams", "0 g on a band")]
    [InlineData("99999 m", "band.metres", "1 to 20,000")]
    [InlineData("LL 1", "band.metres", "5 to 20,000")]
    [InlineData("Nm 0/2", "count", "no folded count")]
    [InlineData("Nm 2/2/28", "count", "cabled")]
    [InlineData("2000 mm", "needles", "0.5 to 50")]
    [InlineData("2000 sts", "gauge", "1 to 100")]
    [InlineData("22 sts 0 rows", "gauge", "1 to 150")]
    [InlineData("35°", "care", "30, 40, 50, 60, 70, 95")]
    [InlineData("hand wash 60°", "care", "1 to 40 °C is allowed")]
    [InlineData("9 dots", "care", "1 to 6")]
    [InlineData("99 ply", "ply", "1 to 24")]
    [InlineData("CYC 9", "standardNumber", "0 to 7")]
    public void Invalid_Values(string text, string field, string told) => RefusedField(text, field, told);

    [Theory]
    [InlineData("50 g 125 m 160 m", "125 m and 160 m")]
    [InlineData("50 g = 125 m, 100 g = 300 m", "250 m and 300 m")]
    [InlineData("125 m, 160 m", "125 m and 160 m")]
    [InlineData("Nm 2/28, 420 m/100 g", "420 m and 1,400 m")]
    [InlineData("DK, 8 ply, aran", "\"DK\" and \"aran\"")]
    [InlineData("100% wool, 100% cotton", "fibres twice")]
    [InlineData("hand wash, machine wash", "different ways")]
    [InlineData("Lot 12 Lot 13", "12 and 13")]
    public void Parse_WhenStatementsContradict_KeepsAndReportsBoth(string text, string told)
    {
        BandText band = Read(text);
        BandConflict conflict = Assert.Single(band.Conflicts);
        Assert.Contains(told, conflict.Sentence.ToString(), StringComparison.Ordinal);
        Assert.True(conflict.Pieces.Count >= 2);
        Assert.Null(band.Band);
    }

    // 1.8 oz for 50 g is 2.1 % off, 137 yd for 125 m 0.2 %: rounding, not a contradiction.
    [Theory]
    [InlineData("50 g / 125 m = 1.8 oz / 137 yds")]
    [InlineData("worsted, CYC 4")]
    [InlineData("Nm 2/28, 1350 m/100 g")]
    public void Parse_WhenStatementsAgreeWithinRounding_ReportsNothing(string text) => Assert.Empty(Read(text).Conflicts);

    [Theory]
    [InlineData("Moonlight DK 50g/125m colour 23", "Moonlight|colour 23")]
    [InlineData("1.2.3 m 12.03.2020", "1.2.3 m 12.03.2020")]
    [InlineData("10 St. 50 g", "10 St")]
    [InlineData("1 250 m / 100 g", "1 250 m")]
    [InlineData("el hilo 100% lana", "el hilo")]
    [InlineData("104°F", "104°F")]
    [InlineData("a lot of fun", "a lot of fun")]
    [InlineData("50/50 wool/acrylic", "50/50")]
    [InlineData("毛糸 50g", "毛糸")]
    [InlineData("<script>alert(1)</script>", "script>alert(1)</script")]
    public void Parse_WhenNotUnderstood_KeepsThePieces(string text, string rest) =>
        Assert.Equal(rest, string.Join('|', Read(text).NotUnderstood.Select(piece => piece.Text)));

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData(" \t\r\n ")]
    [InlineData(" - / , . ")]
    public void Extreme_NothingSaysNothing(string? text)
    {
        BandText band = Read(text);
        Assert.Empty(band.Fields);
        Nothing(band);
        Assert.Null(band.Band);
    }

    [Fact]
    public void Invalid_TooLong()
    {
        Assert.True(BandText.Parse(new string('x', BandText.MaxLength)).IsOk);
        Refused.With(BandText.Parse(new string('x', BandText.MaxLength + 1)), "bandText", "501 characters", "at most 500");
    }

    private static BandText Read(string? text) => BandText.Parse(text).Value;

    private static string Fibres(BandText band) => string.Join(", ", Assert.Single(band.Of<FibresField>()).Content!.Shares.Select(share =>
        share.Percent is { } percent ? FormattableString.Invariant($"{share.Code} {percent:0.##}") : share.Code));

    private static void Nothing(BandText band)
    {
        Assert.Empty(band.NotUnderstood);
        Assert.Empty(band.Refusals);
        Assert.Empty(band.Conflicts);
        Assert.Empty(band.Questions);
    }

    private static void RefusedField(string text, string field, string told)
    {
        BandText band = Read(text);
        BandRefusal refusal = Assert.Single(band.Refusals);
        Assert.Equal(field, refusal.Refusal.Field);
        Assert.Contains(told, refusal.Refusal.ToString(), StringComparison.Ordinal);
        Assert.NotEmpty(refusal.Pieces);
        Assert.Empty(band.Fields);
    }
}
