using CsCheck;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class YardageEstimatorTests
{
    private const double Tolerance = 1e-9;
    private static readonly Mass HundredGrams = Mass.FromGrams(100);

    // Rule of the trade: promise the lower end. 150 g known to be aran at 1.70 yd/g give 255.0 yd.
    [Fact]
    public void Known_AranByNamePromises255Yards()
    {
        LengthRange length = Estimate(new() { AssertedClass = WeightClass.Aran })!.LengthOf(Mass.FromGrams(150));
        Assert.Equal(255.0, length.Low.Yards, Tolerance);
        Assert.Equal(300.0, length.High.Yards, Tolerance);
        Assert.Equal(1.5 * Math.Sqrt(170.0 * 200), length.Likely.Yards, Tolerance);
    }

    // A scale that shows whole grams changes the promise for 150 g by less than the last figure shown.
    [Fact]
    public void Known_AranOnAGramScaleStillPromises255Yards() =>
        Assert.Equal(255.0, Math.Round(Estimate(new() { AssertedClass = WeightClass.Aran })!.LengthOf(Mass.FromGrams(150), Mass.FromGrams(1)).Low.Yards, 1));

    // Class 4 with nothing more known, common practice: 132 to 220 yd/100 g. Probabilities computed apart from this program.
    [Theory]
    [InlineData(9, 0.832)]
    [InlineData(10, 0.9898)]
    [InlineData(11, 0.7844)]
    public void Known_NineToElevenWrapsAloneSayWorstedOrAran(int count, double probability)
    {
        YardageEstimate estimate = Estimate(new() { Wraps = PerInch(count) })!;
        Assert.Equal(WeightClass.Medium, estimate.WeightClass);
        Assert.Equal(EstimateBasis.Wraps, estimate.Basis);
        Assert.Equal(probability, estimate.Probability, 0.0005);
        Assert.Equal(132, estimate.Low.YardsPer100Grams, 1e-9);
        Assert.Equal(220, estimate.High.YardsPer100Grams, 1e-9);
        Assert.Equal($"Worsted or aran, from {count} wraps per inch.", estimate.Sentence.ToString());
    }

    // A name one step off is a second opinion: the rows of both count. Figures computed apart from this program, by halving.
    [Fact]
    public void Known_ANameBesideACountLetsTheNeighbourCount()
    {
        YardageEstimate estimate = Estimate(new() { Wraps = PerInch(9), AssertedClass = WeightClass.Bulky })!;
        Assert.InRange(estimate.Low.YardsPer100Grams, 88, 131);
        Assert.InRange(estimate.High.YardsPer100Grams, 142, 219);
        Assert.True(estimate.Chances[WeightClass.Bulky] > 0.3 && estimate.Chances[WeightClass.Medium] > 0.2);
    }

    [Theory]
    [InlineData(WeightClass.Worsted, 176, "Worsted as logged; 10 wraps per inch agree.")]
    [InlineData(WeightClass.Aran, 170, "Aran as logged; 10 wraps per inch agree.")]
    [InlineData(WeightClass.Medium, 132, "Worsted or aran, from 10 wraps per inch.")]
    public void KeepNamedClass_WhenWrapsCannotTellItApart_ItsLowerEndCounts(WeightClass named, double lowYards, string sentence)
    {
        YardageEstimate estimate = Estimate(new() { Wraps = PerInch(10), AssertedClass = named })!;
        Assert.Equal(named, estimate.WeightClass);
        Assert.Equal(lowYards, estimate.Low.YardsPer100Grams, 1.0);
        Assert.Equal(sentence, estimate.Sentence.ToString());
    }

    [Fact]
    public void Overrule_WhenWrapsSayAnotherClassThanNamed_TheSentenceTellsBoth()
    {
        YardageEstimate estimate = Estimate(new() { Wraps = PerInch(13), AssertedClass = WeightClass.Aran })!;
        Assert.Equal(WeightClass.Dk, estimate.WeightClass);
        Assert.InRange(estimate.Low.YardsPer100Grams, 170, 200);
        Assert.Equal("DK, from 13 wraps per inch; it was logged as Aran.", estimate.Sentence.ToString());
        Assert.Empty(estimate.Conflicts);
    }

    [Fact]
    public void Overrule_WhenWrapsAreFarFromTheName_ItIsLeftOutAndSaidSo()
    {
        YardageEstimate estimate = Estimate(new() { Wraps = PerInch(13), AssertedClass = WeightClass.Bulky })!;
        YardageEstimate unnamed = Estimate(new() { Wraps = PerInch(13) })!;
        Assert.Equal((unnamed.WeightClass, unnamed.Low, unnamed.High), (estimate.WeightClass, estimate.Low, estimate.High));
        Assert.Equal("DK, from 13 wraps per inch; it was logged as Bulky.", estimate.Sentence.ToString());
        Assert.Equal("Bulky was named, which is far from it.", Assert.Single(estimate.Conflicts).ToString());
    }

    [Theory]
    [InlineData(Texture.Fuzzy, "Fuzzy")]
    [InlineData(Texture.Boucle, "Bouclé")]
    [InlineData(Texture.ThickAndThin, "Thick and thin")]
    [InlineData(Texture.Ribbon, "Ribbon")]
    [InlineData(Texture.Chenille, "Chenille")]
    [InlineData(Texture.Metallic, "Metallic")]
    public void RefuseWraps_WhenTextureIsNotSmooth_TheClassCounts(Texture texture, string name)
    {
        YardageEstimate estimate = Estimate(new() { Wraps = PerInch(13), Texture = texture, AssertedClass = WeightClass.Bulky })!;
        Assert.Equal((WeightClass.Bulky, EstimateBasis.ClassAsserted), (estimate.WeightClass, estimate.Basis));
        Assert.Equal($"Bulky, from the class alone: wraps don't count, because the texture is not smooth ({name}).", estimate.Sentence.ToString());
        Assert.Null(Estimate(new() { Wraps = PerInch(13), Texture = texture }));
    }

    // 125 m to 50 g with a spread of 2.5 % of the logarithm: 250·exp(∓1.645·0.025) = 239.93 and 260.49 m/100 g (computed).
    [Fact]
    public void Known_Band()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(125, 50) })!;
        Assert.Equal((WeightClass.Dk, EstimateBasis.Band), (estimate.WeightClass, estimate.Basis));
        Assert.Equal(239.93, estimate.Low.MetresPer100Grams, 0.005);
        Assert.Equal(250, estimate.Likely.MetresPer100Grams, Tolerance);
        Assert.Equal(260.49, estimate.High.MetresPer100Grams, 0.005);
        Assert.Equal("DK, from the band: 125 m to 50 g.", estimate.Sentence.ToString());
    }

    // Precision weighting, computed: DK's ln(213.7 m) ± 0.0946 and the band's ln(250 m) ± 0.025 give 247.5 m, ± 0.0242.
    [Fact]
    public void Known_BandAndClassByPrecision()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(125, 50), AssertedClass = WeightClass.Dk })!;
        WeightClassRow dk = WeightClassTable.Default.Row(WeightClass.Dk);
        double sd = Math.Log(dk.High.MetresPer100Grams / dk.Low.MetresPer100Grams) / 2 / 1.6448536269514722;
        double precision = (1 / (sd * sd)) + (1 / (0.025 * 0.025));
        double mean = ((Math.Log(dk.Middle.MetresPer100Grams) / (sd * sd)) + (Math.Log(250) / (0.025 * 0.025))) / precision;
        Assert.Equal(Math.Exp(mean), estimate.Likely.MetresPer100Grams, 1e-6);
        Assert.Equal(247.5, estimate.Likely.MetresPer100Grams, 0.1);
        Assert.Equal(Math.Exp(mean - (1.6448536269514722 / Math.Sqrt(precision))), estimate.Low.MetresPer100Grams, 1e-6);
    }

    [Fact]
    public void PreferBand_WhenAllIsKnown_TheOthersNarrowItAndAreNotTold()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(125, 50), Wraps = PerInch(13), AssertedClass = WeightClass.Dk })!;
        YardageEstimate alone = Estimate(new() { Band = BandOf(125, 50) })!;
        Assert.Equal((alone.Sentence, alone.Basis, alone.WeightClass), (estimate.Sentence, estimate.Basis, estimate.WeightClass));
        Assert.True(estimate.High.MetresPer100Grams / estimate.Low.MetresPer100Grams < alone.High.MetresPer100Grams / alone.Low.MetresPer100Grams);
        Assert.True(estimate.Probability > alone.Probability);
    }

    // 220 yd to 100 g lies nearest to DK's middle, but some sell it as worsted (docs/sources.md): a person's word tips it.
    [Fact]
    public void NameOneStepFromTheBand_WhenItFits_TheNameIsKeptWithoutRemark()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(201, 100), AssertedClass = WeightClass.Worsted })!;
        Assert.Equal("Worsted, from the band: 201 m to 100 g.", estimate.Sentence.ToString());
        Assert.Equal(WeightClass.Dk, Estimate(new() { Band = BandOf(201, 100) })!.WeightClass);
    }

    [Fact]
    public void NameOneStepFromTheBand_WhenItDoesNotFit_TheBandDecidesAndSaysSo()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(125, 50), AssertedClass = WeightClass.Worsted })!;
        Assert.Equal(250, estimate.Likely.MetresPer100Grams, Tolerance);
        Assert.Equal("DK, from the band: 125 m to 50 g. Worsted was named, which is far from it: check the band.", estimate.Sentence.ToString());
    }

    [Fact]
    public void Tell_WhenTheNameFitsLessWellThanAnother_WhatItWasLoggedAs()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(275, 100), AssertedClass = WeightClass.Dk })!;
        Assert.Equal("Sport, from the band: 275 m to 100 g. It was logged as DK.", estimate.Sentence.ToString());
        Assert.Empty(estimate.Conflicts);
    }

    [Fact]
    public void NameFarFromTheBand_WhenAsserted_TheBandDecidesAndSaysSo()
    {
        YardageEstimate estimate = Estimate(new() { Band = BandOf(210, 50), AssertedClass = WeightClass.Aran })!;
        Assert.Equal(WeightClass.Fingering, estimate.WeightClass);
        Assert.Equal(420, estimate.Likely.MetresPer100Grams, Tolerance);
        Assert.Equal("Fingering, from the band: 210 m to 50 g. Aran was named, which is far from it: check the band.", estimate.Sentence.ToString());
        Assert.Equal("Aran was named, which is far from it: check the band.", Assert.Single(estimate.Conflicts).ToString());
    }

    [Theory]
    [InlineData(16, false)]
    [InlineData(10, false)]
    [InlineData(20, true)]
    [InlineData(7, true)]
    public void CompareWrapsWithBand_WhenMoreThanOneStepApart_TheSentenceSaysSo(int count, bool isTold)
    {
        string sentence = Estimate(new() { Band = BandOf(125, 50), Wraps = PerInch(count) })!.Sentence.ToString();
        Assert.Equal(isTold, sentence.Contains($"But {count} wraps per inch say ", StringComparison.Ordinal));
    }

    [Fact]
    public void CompareWrapsWithBand_WhenTextureIsNotSmooth_NothingIsSaid() => Assert.Equal(
        "DK, from the band: 125 m to 50 g.",
        Estimate(new() { Band = BandOf(125, 50), Wraps = PerInch(7), Texture = Texture.Fuzzy })!.Sentence.ToString());

    [Fact]
    public void Known_NothingKnownGivesNoEstimate() => Assert.Null(Estimate(new() { ScaleDivision = Mass.FromGrams(1) }));

    [Fact]
    public void Known_ClassAlone()
    {
        YardageEstimate estimate = Estimate(new() { AssertedClass = WeightClass.Aran })!;
        Assert.Equal("Aran, from the class alone.", estimate.Sentence.ToString());
        Assert.Equal(EstimateBasis.ClassAsserted, estimate.Basis);
        Assert.Equal((YardageEstimator.ModelVersion, "snug-1"), (estimate.ModelVersion, estimate.TableVersion));
    }

    [Fact]
    public void Known_EveryClassKeepsItsOwnEnds() => Assert.All(Enum.GetValues<WeightClass>(), each =>
    {
        YardageEstimate estimate = Estimate(new() { AssertedClass = each })!;
        WeightClassRow row = WeightClassTable.Default.Row(each);
        Assert.Equal((row.Low, row.Middle, row.High), (estimate.Low, estimate.Likely, estimate.High));
    });

    [Fact]
    public void Known_LowLikelyHighInOrder_WhateverTheEvidence() =>
        AnyEvidence.Select(Gen.Long[0, 25_000_000], Gen.Long[0, 100_000]).Sample((evidence, milligrams, division) =>
        {
            YardageEstimate? estimate = Estimate(evidence);
            if (estimate is null)
            {
                return evidence.Band is null && evidence.AssertedClass is null && (evidence.Wraps is null || evidence.Texture != Texture.Smooth);
            }

            LengthRange length = estimate.LengthOf(Mass.FromMilligrams(milligrams), Mass.FromMilligrams(division));
            return estimate.Low < estimate.Likely && estimate.Likely < estimate.High
                && length.Low.Metres >= 0 && length.Low <= length.Likely && length.Likely <= length.High;
        });

    private static readonly Gen<YarnEvidence> AnyEvidence = Gen.Select(
        Gen.Int[-1, 9], Gen.Int[0, 60], Gen.Int[0, 1000], Gen.Int[0, 6],
        (weightClass, wraps, metres, texture) => new YarnEvidence
        {
            AssertedClass = weightClass < 0 ? null : (WeightClass)weightClass,
            Wraps = wraps == 0 ? null : PerInch(wraps),
            Band = metres < 5 ? null : BandOf(metres, 50),
            Texture = (Texture)texture,
        });

    private static YardageEstimate? Estimate(YarnEvidence evidence) => YardageEstimator.Estimate(evidence, WeightClassTable.Default);

    private static Wraps PerInch(int count) => Wraps.Create(count, 1).Value;

    private static Band BandOf(decimal metres, decimal grams) => Band.Create(metres, grams).Value;
}
