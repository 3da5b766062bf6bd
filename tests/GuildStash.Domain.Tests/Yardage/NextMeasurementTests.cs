using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class NextMeasurementTests
{
    private static readonly WeightClassTable Table = WeightClassTable.Default;
    private static readonly YardageRules Rules = YardageRules.Standard;

    // Computed: 40 yd of 170.4 yd to 100 g are 23.47 divisions of 1 g, √((0.01/√3)² + (1/√6/23.47)² + 0.01²) = 2.09 %, beside class 4's 15.5 % 2.07 %,
    // with the lot's own 0.41 % 2.11 %: ±5.9 yd.
    [Fact]
    public void Advise_WhenTheScaleSuits_TellsTheShortestSampleWorthIt()
    {
        NextMeasurement next = Assert.Single(For(new() { AssertedClass = WeightClass.Medium, ScaleDivision = Mass.FromGrams(1) }, 100));
        Assert.Equal(NextStep.Sample, next.Step);
        Assert.Equal(40, next.Sample!.Value.Yards, 1e-9);
        Assert.Equal("Weigh 40 yards: ±44 becomes ±5.9.", next.Sentence.ToString());
        Assert.True(next.Then < next.Now);
    }

    // The promise is kept: with the sample weighed as advised, the range is as wide as was said.
    [Theory]
    [InlineData(WeightClass.Lace, 1)]
    [InlineData(WeightClass.Dk, 1)]
    [InlineData(WeightClass.Bulky, 1)]
    [InlineData(WeightClass.Fingering, 0.1)]
    public void Roundtrip_TheAdviceKeepsItsWord(WeightClass named, decimal divisionGrams)
    {
        Mass lot = Mass.FromGrams(200);
        YarnEvidence before = new() { AssertedClass = named, ScaleDivision = Mass.FromGrams(divisionGrams) };
        NextMeasurement next = NextMeasurement.For(before, Rules, lot).Single(step => step.Step == NextStep.Sample);
        double metres = next.Sample!.Value.Metres;
        WeighedSample sample = WeighedSample.Create((decimal)metres, (decimal)(metres * 100 / Table.Row(named).Middle.MetresPer100Grams), divisionGrams).Value;
        LengthRange after = YardageEstimator.Estimate(before with { Sample = sample }, Table)!.LengthOf(lot, before.ScaleDivision);
        Assert.Equal(next.Then.Metres, (after.High.Metres - after.Low.Metres) / 2, next.Then.Metres * 0.01);
    }

    // 20 yd of aran weigh 11 g: 11 divisions of a kitchen scale that reads to 1 g, and 2 of one that reads to 5 g.
    [Theory]
    [InlineData(1)]
    [InlineData(5)]
    public void Advise_WhenTheScaleIsCoarse_ASampleHasAtLeast20Divisions(int divisionGrams) => Assert.All(
        For(new() { AssertedClass = WeightClass.Jumbo, ScaleDivision = Mass.FromGrams(divisionGrams) }, 2000).Where(step => step.Sample is not null),
        step => Assert.True(step.Sample!.Value.Metres * 100 / Table.Row(WeightClass.Jumbo).Middle.MetresPer100Grams >= 20 * divisionGrams));

    [Fact]
    public void StaySilent_WhenNothingWouldHelp()
    {
        Assert.Empty(For(new() { AssertedClass = WeightClass.Aran }, 100));
        Assert.Empty(For(new() { AssertedClass = WeightClass.Aran, ScaleDivision = Mass.FromGrams(50) }, 500));
        Assert.Empty(For(new() { Sample = WeighedSample.Create(36, 22.0m, 0.1m).Value, ScaleDivision = Mass.FromGrams(1) }, 100));
        Assert.Empty(For(new() { Band = Band.Create(125, 50).Value, ScaleDivision = Mass.FromGrams(5) }, 48));
        Assert.Empty(For(new() { AssertedClass = WeightClass.Aran, ScaleDivision = Mass.FromGrams(1) }, 0));
    }

    // A light sample and a band leave 1.5 %, the lot's own mass 1.7 %: another sample of 20 divisions would take a tenth off, no more.
    [Fact]
    public void StaySilent_WhenTheGainIsSmall()
    {
        YarnEvidence evidence = new() { Band = Band.Create(40, 100).Value, Sample = WeighedSample.Create(38, 95, 5).Value, ScaleDivision = Mass.FromGrams(5) };
        Assert.Empty(NextMeasurement.For(evidence, Rules, Mass.FromGrams(120)));
        Assert.NotEmpty(NextMeasurement.For(evidence with { Sample = null }, Rules, Mass.FromGrams(120)));
        Assert.Empty(For(new() { Wraps = Wraps.Create(20, 2, [20, 20]).Value }, 100));
    }

    [Fact]
    public void StaySilent_WhenTheLotIsShorterThanASample() =>
        Assert.DoesNotContain(For(new() { AssertedClass = WeightClass.Aran, ScaleDivision = Mass.FromGrams(1) }, 15), step => step.Step == NextStep.Sample);

    // Where the room has learnt, the rows beside the count's own matter, and a careful count takes them away.
    [Fact]
    public void Advise_WhenACountIsRough_CountingAgainHelps()
    {
        InventedRoom room = new(5);
        YardageLearning learning = YardageLearning.From(Enumerable.Range(0, 100).Select(_ => room.Lot(AtHand.Band | AtHand.Wraps).Evidence), Table);
        NextMeasurement next = NextMeasurement.For(new() { Wraps = Wraps.Create(5, 1).Value }, Rules with { Learning = learning }, Mass.FromGrams(100)).Single(step => step.Step == NextStep.MoreWraps);
        Assert.StartsWith("Count the wraps again over 2 in, three times: ±", next.Sentence.ToString(), StringComparison.Ordinal);
        Assert.True(next.Then < next.Now);
    }

    [Fact]
    public void Advise_WhenNothingIsKnown_AnyEvidenceIsWelcome()
    {
        Assert.Equal(NextStep.Anything, Assert.Single(For(new(), 100)).Step);
        Assert.DoesNotContain("wraps", Assert.Single(For(new() { Texture = Texture.Boucle }, 100)).Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Known_MetresOnRequest() => Assert.Equal(
        "Weigh 40 m: ±40 becomes ±5.1.",
        Assert.Single(NextMeasurement.For(new() { AssertedClass = WeightClass.Medium, ScaleDivision = Mass.FromGrams(1) }, Rules, Mass.FromGrams(100))).Sentence.ToString());

    // The width told is that of the figures shown, where the room has learnt of names, and where it is dry: 100 g count as 106.4 g.
    [Fact]
    public void Known_NowIsTheRangeShown()
    {
        InventedRoom invented = new(6, -0.1);
        YardageLearning learning = YardageLearning.From(Enumerable.Range(0, 100).Select(_ => invented.Lot(AtHand.Band | AtHand.Wraps).Evidence with { FibreGroup = FibreGroup.Animal }), Table);
        YarnEvidence lot = new() { AssertedClass = WeightClass.Dk, ScaleDivision = Mass.FromGrams(1), FibreGroup = FibreGroup.Animal, Fibres = FibreContent.Create([new("WO", 100)]).Value };
        Assert.All<YardageRules>(
        [
            Rules with { Learning = learning },
            Rules with { Learning = learning, IsLearntForNames = false },
            Rules with { Regains = RoomRegains.Create(10, null, null).Value },
        ], rules =>
        {
            LengthRange shown = rules.Estimate(lot)!.LengthOf(Mass.FromGrams(400), lot.ScaleDivision);
            NextMeasurement next = rules.Next(lot, Mass.FromGrams(400)).Single(step => step.Step == NextStep.Sample);
            Assert.Equal((shown.High.Metres - shown.Low.Metres) / 2, next.Now.Metres, 1e-9);
            // And the sample, weighed as it weighs in that room, leaves the width that was told.
            decimal metres = (decimal)next.Sample!.Value.Metres;
            WeighedSample sample = WeighedSample.Create(metres, metres * 400 / (decimal)shown.Likely.Metres, 1).Value;
            LengthRange then = rules.Estimate(lot with { Sample = sample })!.LengthOf(Mass.FromGrams(400), lot.ScaleDivision);
            Assert.Equal((then.High.Metres - then.Low.Metres) / 2, next.Then.Metres, next.Then.Metres * 0.01);
        });
    }

    private static IReadOnlyList<NextMeasurement> For(YarnEvidence evidence, decimal grams) => NextMeasurement.For(evidence, Rules, Mass.FromGrams(grams), inYards: true);
}
