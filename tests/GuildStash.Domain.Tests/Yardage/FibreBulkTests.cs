using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

/// <summary>Fibres as evidence of length beside thickness; densities are Morton and Hearle's, table 5.1.</summary>
public class FibreBulkTests
{
    private static readonly WeightClassTable Table = WeightClassTable.Default;

    // Computed: 0.5 · ln(1.31/1.52) = −0.074342 and half of that as its error; ln(1.31/1.19)/2 = 0.048037. Half is a judgement.
    [Theory]
    [InlineData("CO", -0.074342)]
    [InlineData("CV", -0.064374)]
    [InlineData("PES", -0.029638)]
    [InlineData("SE", -0.011321)]
    [InlineData("PAN", 0.048037)]
    [InlineData("PA", 0.069499)]
    [InlineData("PP", 0.182169)]
    [InlineData("WO", 0)]
    public void Known_ShiftOfAFibre(string code, double shift)
    {
        FibreBulk bulk = FibreBulk.Of(Of((code, 100)));
        Assert.Equal(shift, bulk.Shift, 1e-6);
        Assert.Equal(Math.Abs(shift) / 2, bulk.Sd, 1e-6);
    }

    // Computed: cotton DK has ln-mean ln(√(200 · 273)) − 0.074342 and sd √(0.094584² + 0.037171²) = 0.101626: 183.5, 216.9 and 256.4 yd.
    [Fact]
    public void Known_CottonDkIsShorterThanTheTradesDk()
    {
        YardageEstimate cotton = Estimate(new() { AssertedClass = WeightClass.Dk, Fibres = Of(("CO", 100)) });
        Assert.Equal(183.5, cotton.Low.YardsPer100Grams, 0.05);
        Assert.Equal(216.9, cotton.Likely.YardsPer100Grams, 0.05);
        Assert.Equal(256.4, cotton.High.YardsPer100Grams, 0.05);
        Assert.Equal((EstimateBasis.ClassAsserted, WeightClass.Dk), (cotton.Basis, cotton.WeightClass));
        Assert.Equal("DK, from the class alone. Its fibres are denser than wool (1.52 against 1.31 g/cm³), which takes about 7 % off.", cotton.Sentence.ToString());
        Assert.EndsWith("Its fibres are lighter than wool (1.19 against 1.31 g/cm³), which adds about 5 %.", Estimate(new() { AssertedClass = WeightClass.Dk, Fibres = Of(("PAN", 100)) }).Sentence.ToString(), StringComparison.Ordinal);
    }

    // The trade's rule: 150 g of aran give 255.0 yd where nothing is stated of its fibres, and where they are those of the table.
    [Fact]
    public void Known_WithoutFibresAndWithWoolTheTradesRuleStands() => Assert.All<FibreContent>(
        [FibreContent.Unknown, Of(("WO", 100)), Of(("WO", 60), ("WP", 40)), Of(("WO", null), ("CO", null)), Of(("CO", 95), ("ME", 5))], fibres =>
    {
        YardageEstimate aran = Estimate(new() { AssertedClass = WeightClass.Aran, Fibres = fibres });
        Assert.Equal((255.0, 300.0), (aran.LengthOf(Mass.FromGrams(150)).Low.Yards, aran.LengthOf(Mass.FromGrams(150)).High.Yards), (a, b) => Math.Abs(a.Item1 - b.Item1) + Math.Abs(a.Item2 - b.Item2) < 1e-9);
        Assert.Equal("Aran, from the class alone.", aran.Sentence.ToString());
        Assert.Equal(132, Estimate(new() { Wraps = Wraps.Create(10, 1).Value, Fibres = fibres }).Low.YardsPer100Grams, 1e-9);
    });

    // Wraps and a gauge tell thickness, so that the same count of cotton is shorter; a length that was read is what it is.
    [Fact]
    public void Known_FibresCountBesideThicknessAndNotBesideLength()
    {
        FibreContent cotton = Of(("CO", 100));
        void Shortened(YarnEvidence lot) => Assert.Equal(-0.074342, Math.Log(Estimate(lot with { Fibres = cotton }).Likely.MetresPer100Grams / Estimate(lot).Likely.MetresPer100Grams), 1e-6);
        void Same(YarnEvidence lot) => Assert.Equal(
            (Estimate(lot).Low, Estimate(lot).Likely, Estimate(lot).High),
            (Estimate(lot with { Fibres = cotton }).Low, Estimate(lot with { Fibres = cotton }).Likely, Estimate(lot with { Fibres = cotton }).High));
        Shortened(new() { Wraps = Wraps.Create(10, 1).Value });
        Shortened(new() { AssertedClass = WeightClass.Lace });
        Shortened(new() { Gauge = Gauge.Create(22).Value });
        Same(new() { Band = Band.Create(125, 50).Value });
        Same(new() { Sample = WeighedSample.Create(36, 16, 0.1m).Value });
        Same(new() { Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(250), CountKind.Folded).Value });
    }

    // Cotton with a band of 200 m to 100 g is as thick as wool of 200 · e^0.074 = 215 m: DK, where wool would be nearer to worsted's 196.8 yd (180 m).
    [Fact]
    public void Known_TheClassOfABandIsThatOfItsThickness()
    {
        YarnEvidence band = new() { Band = Band.Create(191, 100).Value };
        double OfDk(FibreContent fibres) => Estimate(band with { Fibres = fibres }).Chances[WeightClass.Dk];
        Assert.True(OfDk(Of(("CO", 100))) > OfDk(FibreContent.Unknown) + 0.05);
        Assert.True(OfDk(Of(("PP", 100))) < OfDk(FibreContent.Unknown) - 0.05);
    }

    // What 40 lots of cotton teach is what they have beside their fibres' shift, so that it isn't counted twice.
    [Fact]
    public void Known_WhatWasLearntOfAFibreStandsBesideItsShift()
    {
        double metres = Table.Row(WeightClass.Dk).Middle.MetresPer100Grams * Math.Exp(-0.074342);
        YarnEvidence lot = new() { Wraps = Wraps.Create(26, 2).Value, Band = Band.Create((decimal)metres, 100).Value, FibreGroup = FibreGroup.Plant, Fibres = Of(("CO", 100)) };
        YardageLearning learning = YardageLearning.From(Enumerable.Repeat(lot, 40), Table);
        Assert.Equal(0, learning.Line(FibreGroup.Plant).Constant, 0.002);
        YardageEstimate wraps = YardageEstimator.Estimate(lot with { Band = null }, Table, learning)!;
        Assert.Equal(metres, wraps.Likely.MetresPer100Grams, metres * 0.01);
        Assert.Equal(WrapsLaw.Of(Table).MetresPer100Grams(10) * Math.Exp(-0.074342), learning.Law(FibreGroup.Plant, Table).MetresPer100Grams(10), 0.5);
    }

    private static YardageEstimate Estimate(YarnEvidence evidence) => YardageEstimator.Estimate(evidence, Table)!;

    private static FibreContent Of(params (string Code, int? Percent)[] shares) => FibreContent.Create(shares.Select(share => new FibreShare(share.Code, share.Percent))).Value;
}
