using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class NextMeasurementTests
{
    private static readonly WeightClassTable Table = WeightClassTable.Default;

    [Fact]
    public void Advise_WhenTheScaleSuits_TellsTheShortestSampleWorthIt()
    {
        NextMeasurement next = Assert.Single(For(new() { AssertedClass = WeightClass.Medium, ScaleDivision = Mass.FromGrams(1) }, 100));
        Assert.Equal(NextStep.Sample, next.Step);
        Assert.Equal(40, next.Sample!.Value.Yards, 1e-9);
        Assert.Equal("Weigh 40 yards: ±44 becomes ±4.8.", next.Sentence.ToString());
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
        NextMeasurement next = NextMeasurement.For(before, Table, lot).Single(step => step.Step == NextStep.Sample);
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
        Assert.Empty(NextMeasurement.For(evidence, Table, Mass.FromGrams(120)));
        Assert.NotEmpty(NextMeasurement.For(evidence with { Sample = null }, Table, Mass.FromGrams(120)));
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
        NextMeasurement next = NextMeasurement.For(new() { Wraps = Wraps.Create(5, 1).Value }, Table, Mass.FromGrams(100), learning: learning).Single(step => step.Step == NextStep.MoreWraps);
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
        "Weigh 40 m: ±40 becomes ±4.2.",
        Assert.Single(NextMeasurement.For(new() { AssertedClass = WeightClass.Medium, ScaleDivision = Mass.FromGrams(1) }, Table, Mass.FromGrams(100))).Sentence.ToString());

    private static IReadOnlyList<NextMeasurement> For(YarnEvidence evidence, decimal grams) => NextMeasurement.For(evidence, Table, Mass.FromGrams(grams), inYards: true);
}
