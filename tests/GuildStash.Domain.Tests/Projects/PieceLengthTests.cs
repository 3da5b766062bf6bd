using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Projects;

public sealed class PieceLengthTests
{
    private const double Tolerance = 1e-9;

    private static Gauge PerInch(decimal stitches) => Gauge.Create(stitches, 2.54m).Value;

    // Published worked example of the makers' hand rule.
    [Fact]
    public void Known_HandRule_FortyEightByEightInchesAtFiveStitches() =>
        Assert.Equal(320, PieceLength.ByHandRule(FabricArea.FromInches(48, 8), PerInch(5)).Yards, Tolerance);

    // Published exam item: kc 5.5, kw 4.2, loop 0.5 cm.
    [Fact]
    public void Known_LoopModel_StitchDensity() => Assert.Equal(92.4, PieceLength.LoopsPerSquareCentimetre(5.5, 4.2, 0.5), Tolerance);

    // Munden 1959, constants from memory: yd = in² · st/in / 7.2 dry; computed from kc.
    [Theory]
    [InlineData(Relaxation.Dry, 7.2)]
    [InlineData(Relaxation.Wet, 6.792452830188679)]
    [InlineData(Relaxation.Full, 6.545454545454546)]
    public void Known_LoopModel_Divisors(Relaxation relaxation, double divisor) =>
        Assert.Equal(48 * 8 * 5 / divisor, PieceLength.ByLoopLength(FabricArea.FromInches(48, 8), PerInch(5), relaxation).Yards, 1e-6);

    // Computed: 36/6 over kc 5.5 and 5.0 are 9 and 20 % more.
    [Fact]
    public void Known_HandRule_IsNineToTwentyPercentOnTheSafeSide()
    {
        FabricArea area = FabricArea.FromCentimetres(50, 40);
        double hand = PieceLength.ByHandRule(area, PerInch(5)).Metres;

        Assert.Equal(1.20, hand / PieceLength.ByLoopLength(area, PerInch(5), Relaxation.Dry).Metres, 1e-9);
        Assert.Equal(1.0909, hand / PieceLength.ByLoopLength(area, PerInch(5), Relaxation.Full).Metres, 1e-4);
    }

    // Factors from memory: garter 1.15–1.25, rib 1.2–1.3, cable 1.3, single crochet 1.3–1.5.
    [Theory]
    [InlineData(Fabric.StockingStitch, 1, 1)]
    [InlineData(Fabric.Garter, 1.15, 1.25)]
    [InlineData(Fabric.Rib, 1.2, 1.3)]
    [InlineData(Fabric.Cable, 1.3, 1.3)]
    [InlineData(Fabric.SingleCrochet, 1.3, 1.5)]
    public void Known_FabricFactors(Fabric fabric, double low, double high) => Assert.Equal((low, high), (fabric.Factor().Low, fabric.Factor().High));

    [Fact]
    public void FromGauge_WhenGarter_LiesBetweenDryLoopsAndHandRule()
    {
        LengthNeed need = PieceLength.FromGauge(FabricArea.FromInches(48, 8), PerInch(5), Fabric.Garter).Value;

        Assert.Equal((48 * 8 * 5 / 7.2 * 1.15, 320 * 1.25), (need.Low.Yards, need.Safe.Yards), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-6 && Math.Abs(a.Item2 - b.Item2) < 1e-6);
        Assert.InRange(need.Likely.Yards, need.Low.Yards, need.Safe.Yards);
        Assert.False(need.IsExact);
    }

    [Fact]
    public void Invalid_Gauge_OfTheOtherCraft_IsRefused()
    {
        Assert.Equal("fabric", PieceLength.FromGauge(FabricArea.FromInches(9, 7), PerInch(4), Fabric.SingleCrochet).Refusal.Field);
        Assert.Equal("fabric", PieceLength.FromKnittedGauge(FabricArea.FromInches(9, 7), PerInch(4), Fabric.Rib).Refusal.Field);
        Assert.True(PieceLength.FromKnittedGauge(FabricArea.FromInches(9, 7), PerInch(4), Fabric.SingleCrochet).IsOk);
    }

    // Computed: 4 times the area takes 4 times the yarn.
    [Fact]
    public void Known_Swatch_GoesByTheRatioOfAreas()
    {
        FabricSwatch swatch = new(Length.FromMetres(12), FabricArea.FromCentimetres(10, 10));

        LengthNeed need = PieceLength.FromSwatch(FabricArea.FromCentimetres(20, 20), swatch).Value;

        Assert.Equal((48.0, 52.8), (Math.Round(need.Likely.Metres, 9), Math.Round(need.Safe.Metres, 9)));
        Assert.Equal("swatch", PieceLength.FromSwatch(FabricArea.FromCentimetres(20, 20), swatch with { Area = FabricArea.FromCentimetres(2, 2) }).Refusal.Field);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-3)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(10_001)]
    public void Invalid_Need_IsRefused(double metres)
    {
        Refusal refusal = LengthNeed.OfSafe(metres).Refusal;

        Assert.Equal(("metres", RefusalKind.Invalid), (refusal.Field, refusal.Kind));
        Assert.False(LengthNeed.OfRange(metres, 5, 6).IsOk && LengthNeed.OfRange(5, 6, metres).IsOk);
    }

    [Fact]
    public void Invalid_Need_WhenOutOfOrder_IsRefused() => Assert.Contains("low must not be above likely", LengthNeed.OfRange(10, 9, 12).Refusal.ToString(), StringComparison.Ordinal);

    // Published counting checks; sides in the order across, down of 9 × 7 in pieces laid flat.
    [Theory]
    [InlineData(20, 9, 7, 36, 35)]
    [InlineData(25, 9, 7, 45, 35)]
    [InlineData(36, 9, 7, 54, 42)]
    [InlineData(49, 9, 7, 63, 49)]
    [InlineData(35, 20, 20, 100, 140)]
    [InlineData(96, 6, 6, 48, 72)]
    public void Known_JoinedBlankets(int pieces, double width, double height, double across, double down)
    {
        RectangleLayout blanket = RectangleLayout.Of(pieces, width, height);

        Assert.Equal((across, down, pieces), (blanket.Width, blanket.Height, blanket.Pieces));
    }

    [Fact]
    public void Of_WhenTheCountMakesOnlyAStrip_LeavesSomeOut()
    {
        RectangleLayout blanket = RectangleLayout.Of(37, 6, 6, seam: 0.5);

        Assert.Equal((36, 33.5), (blanket.Pieces, blanket.Width));
    }

    [Fact]
    public void Extreme_Layouts_AreFoundOrRefused()
    {
        Assert.Equal(1, RectangleLayout.Of(1, 7, 9).Pieces);
        Assert.Equal(RectangleLayout.MostPieces, RectangleLayout.Of(RectangleLayout.MostPieces, 6, 6).Pieces);
        Assert.Throws<ArgumentOutOfRangeException>(() => RectangleLayout.Of(0, 6, 6));
        Assert.Throws<ArgumentOutOfRangeException>(() => RectangleLayout.Of(10, double.NaN, 6));
    }

    // CYC, from memory.
    [Fact]
    public void Known_Sizes_HeadsAndTheirHats()
    {
        Assert.Equal([30.5, 35.5, 40.5, 45.5, 50.5, 56], PieceSizes.Default.Of("head").Select(row => row.Low));
        Assert.Equal((2.5, 7.5), (PieceSizes.Default.Of("hat ease").Single().Low, PieceSizes.Default.Of("hat ease").Single().High));
        Assert.All(PieceSizes.Default.Rows, row => Assert.NotEqual("", row.Source));
    }

    [Theory]
    [InlineData("head,child,45.5,45.5,cm")]
    [InlineData("head,child,45.5,40,cm,own")]
    [InlineData("head,child,a,b,cm,own")]
    [InlineData("foot,child,20,21,cm,own")]
    [InlineData("head,child,45,46,ell,own")]
    [InlineData("head,child,45,46,cm,own\nhead,child,45,46,cm,own")]
    [InlineData("# nothing")]
    public void Invalid_Sizes_AreRefusedAtTheTable(string text) => Assert.Equal("sizes", PieceSizes.Parse(text).Refusal.Field);

    [Theory]
    [InlineData("head,child,45.5,45.5,cm", "Line 1 has 5 columns; kind, name, low, high, unit and source are needed.")]
    [InlineData("\nhead,,45,46,cm,own", "Line 2 has no name. Say what its figures are of, for instance \"child\".")]
    [InlineData("head,child,45.5,40,cm,own", "\"child\": \"45.5\" to \"40\" is no range. Both are more than 0 and at most 100,000, and the first is not above the second.")]
    [InlineData("foot,child,20,21,cm,own", "\"child\" is about \"foot\"; it can be about one of these: head, hat ease, yarn, blanket.")]
    [InlineData("head,child,20,21,cm,", "\"child\" has no source. Say where its figures come from; \"own\" will do.")]
    [InlineData("head,child,45,46,ell,own", "\"child\": a row of kind head is in cm / in, not in \"ell\".")]
    [InlineData("head,child,45,46,cm,own\nhead,child,45,46,cm,own", "\"child\" stands in the table twice as head. Give one of them another name, or take it out.")]
    public void Invalid_Sizes_NameTheRowByItsName(string text, string sentence) => Assert.Equal(sentence, PieceSizes.Parse(text).Refusal.ToString());

    [Fact]
    public void All_Cautions_EndWithWhoDecides() => Assert.Equal("The recipient's list and local rules decide.", InfantCautions.All[^1].ToString());
}
