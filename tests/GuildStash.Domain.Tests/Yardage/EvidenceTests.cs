using CsCheck;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

/// <summary>Samples, counts, gauges and wraps as readings with an error, and what happens where they disagree.</summary>
public class EvidenceTests
{
    private static readonly WeightClassTable Table = WeightClassTable.Default;

    // Computed: 40 yd (36.576 m) within 1 % that weigh 22.0 g on a scale reading to 0.1 g, gross less tare:
    // √((0.01/√3)² + (0.1/√6/22)² + 0.01²) = 1.1695 %; 166.25 m to 100 g, a factor of exp(1.645·0.011695) = 1.01942 either way.
    [Fact]
    public void Known_WeighedSample()
    {
        YardageEstimate estimate = Estimate(new() { Sample = WeighedSample.Create(36.576m, 22.0m, 0.1m, isDifference: true).Value });
        Assert.Equal((EstimateBasis.Sample, WeightClass.Aran), (estimate.Basis, estimate.WeightClass));
        Assert.Equal(166.25, estimate.Likely.MetresPer100Grams, 0.01);
        Assert.Equal(166.25 / 1.01942, estimate.Low.MetresPer100Grams, 0.01);
        Assert.Equal("Aran, from a weighed sample: 36.6 m weigh 22 g.", estimate.Sentence.ToString());
    }

    // One reading of a scale set to zero has d/√12, gross less tare d/√6 (computed); no division counts as exact.
    [Fact]
    public void Known_ScaleErrorOfASample()
    {
        double Sd(decimal? division, bool isDifference) => DirectReading.FromSample(WeighedSample.Create(50, 25, division, 0, isDifference).Value).Sd;
        Assert.Equal(0.01, Sd(null, false), 1e-12);
        Assert.Equal(Math.Sqrt((0.01 * 0.01) + (1 / 12.0 / 625)), Sd(1, false), 1e-12);
        Assert.Equal(Math.Sqrt((0.01 * 0.01) + (1 / 6.0 / 625)), Sd(1, true), 1e-12);
    }

    // Computed: 5 yd of aran weigh 2.7 g; one division of a scale that reads to 1 g is 37 % of that.
    [Fact]
    public void Known_FiveYardsOfAranOnAKitchenScale()
    {
        YardageEstimate aran = Estimate(new() { AssertedClass = WeightClass.Aran });
        Assert.Equal(2.7, 500 / aran.Likely.YardsPer100Grams, 0.05);
        WeighedSample sample = WeighedSample.Create(4.572m, 2.7m, 1).Value;
        Assert.Equal(0.37, 1 / sample.Divisions, 0.005);
        Assert.False(DirectReading.FromSample(sample).IsKnown);
    }

    // 5 yd of aran are 2.7 g: on a scale that reads to 1 g not worth the trouble (common practice, 20 divisions).
    [Fact]
    public void Known_SampleTooLightForItsScaleIsSaidAndLeftOut()
    {
        YardageEstimate estimate = Estimate(new() { Sample = WeighedSample.Create(4.572m, 3, 1).Value, AssertedClass = WeightClass.Aran });
        Assert.Equal((EstimateBasis.ClassAsserted, 170.0), (estimate.Basis, Math.Round(estimate.Low.YardsPer100Grams, 6)));
        Assert.Equal("The sample weighs only 3 divisions of its scale; under 20 it is not worth its trouble: weigh a longer piece.", Assert.Single(estimate.Conflicts).ToString());
    }

    [Fact]
    public void Known_SampleOfTenDivisionsCountsWithItsErrorAndIsTold()
    {
        YardageEstimate estimate = Estimate(new() { Sample = WeighedSample.Create(17, 10, 1).Value, AssertedClass = WeightClass.Aran });
        Assert.Equal(EstimateBasis.Sample, estimate.Basis);
        Assert.Contains("only 10 divisions", estimate.Sentence.ToString(), StringComparison.Ordinal);
        Assert.True(estimate.Low.YardsPer100Grams > 170);
    }

    // Order of trust (common practice): sample, band, count, gauge, wraps, class.
    [Fact]
    public void Known_OrderOfTrust()
    {
        YarnEvidence all = new()
        {
            Sample = WeighedSample.Create(125, 50).Value,
            Band = Band.Create(125, 50).Value,
            Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(250), CountKind.Folded).Value,
            Gauge = Gauge.Create(22).Value,
            Wraps = Wraps.Create(13, 1).Value,
            AssertedClass = WeightClass.Dk,
        };
        Assert.Equal(EstimateBasis.Sample, Estimate(all).Basis);
        Assert.Equal(EstimateBasis.Band, Estimate(all with { Sample = null }).Basis);
        Assert.Equal(EstimateBasis.Count, Estimate(all with { Sample = null, Band = null }).Basis);
        Assert.Equal(EstimateBasis.Gauge, Estimate(all with { Sample = null, Band = null, Count = null }).Basis);
        Assert.Equal(EstimateBasis.Wraps, Estimate(all with { Sample = null, Band = null, Count = null, Gauge = null }).Basis);
        Assert.Equal(EstimateBasis.ClassAsserted, Estimate(new() { AssertedClass = WeightClass.Dk }).Basis);
        Assert.Empty(Estimate(all).Conflicts);
    }

    // Computed: sd 5 % on the logarithm about Nm 2/28 = 1,400 m to 100 g.
    [Fact]
    public void Known_Count()
    {
        YardageEstimate estimate = Estimate(new() { Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(1400), CountKind.Folded).Value });
        Assert.Equal(1400, estimate.Likely.MetresPer100Grams, 1e-9);
        Assert.Equal(1400 * Math.Exp(-1.6448536269514722 * 0.05), estimate.Low.MetresPer100Grams, 1e-6);
        Assert.Equal("Lace, from the count: 1400 m to 100 g.", estimate.Sentence.ToString());
    }

    [Fact]
    public void Known_ACountBesideABandMakesItNoSurer()
    {
        YarnEvidence band = new() { Band = Band.Create(125, 50).Value };
        YardageEstimate both = Estimate(band with { Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(255), CountKind.Resultant).Value });
        Assert.Equal((Estimate(band).Low, Estimate(band).High), (both.Low, both.High));
        Assert.Equal("The count comes to 500 m to 100 g, which is far from it: check its system and its plies.",
            Assert.Single(Estimate(band with { Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(500), CountKind.Resultant).Value }).Conflicts).ToString());
    }

    // Craft Yarn Council: the geometric middle of a class's stitches stands for the middle of the class's length.
    [Theory]
    [InlineData(29.394, WeightClass.Fingering)]
    [InlineData(24.454, WeightClass.Sport)]
    [InlineData(22.450, WeightClass.Dk)]
    [InlineData(17.889, WeightClass.Medium)]
    [InlineData(13.416, WeightClass.Bulky)]
    [InlineData(8.775, WeightClass.SuperBulky)]
    [InlineData(5, WeightClass.Jumbo)]
    public void Known_GaugeOfEachClass(double stitches, WeightClass weightClass)
    {
        YardageEstimate estimate = Estimate(new() { Gauge = Gauge.Create((decimal)stitches).Value });
        Assert.Equal(weightClass, estimate.WeightClass);
        Assert.Equal(Table.Row(weightClass).Middle.MetresPer100Grams, estimate.Likely.MetresPer100Grams, 0.05);
        Assert.Equal(EstimateBasis.Gauge, estimate.Basis);
    }

    [Fact]
    public void Known_MoreStitchesNeverMeanLessLength() => Gen.Decimal[2, 59].Select(Gen.Decimal[0, 1]).Sample((stitches, more) =>
        DirectReading.FromGauge(Gauge.Create(stitches + more).Value, Table).Log + 1e-12 >= DirectReading.FromGauge(Gauge.Create(stitches).Value, Table).Log);

    [Fact]
    public void Disagree_WhenBandAndSampleAreFarApart_TheSampleGivesTheFigures()
    {
        WeighedSample sample = WeighedSample.Create(40, 20, 0.1m).Value;
        YardageEstimate estimate = Estimate(new() { Sample = sample, Band = Band.Create(125, 50).Value });
        Assert.Equal(Estimate(new() { Sample = sample }).Low, estimate.Low);
        Assert.Equal("The band says 250 m to 100 g, the sample 200 m: check that the band belongs to this yarn.", Assert.Single(estimate.Conflicts).ToString());
        Assert.EndsWith(estimate.Conflicts[0].ToString(), estimate.Sentence.ToString(), StringComparison.Ordinal);
    }

    // The wish's own example: the band says 125 m to 50 g, wraps say lace.
    [Fact]
    public void Disagree_WhenBandSaysDkAndWrapsSayLace_TheBandGivesTheFigures()
    {
        YardageEstimate estimate = Estimate(new() { Band = Band.Create(125, 50).Value, Wraps = Wraps.Create(32, 1).Value });
        Assert.Equal(250, estimate.Likely.MetresPer100Grams, 1e-9);
        Assert.Equal("But 32 wraps per inch say Lace: check that the band belongs to this yarn.", Assert.Single(estimate.Conflicts).ToString());
    }

    // Computed: ½/√3 wraps for each count, less by √n, and 5 % between people.
    [Fact]
    public void Known_ErrorOfACount()
    {
        Assert.Equal(Math.Sqrt(Math.Pow(0.5 / Math.Sqrt(3) / 13, 2) + 0.0025), WrapReading.From(Wraps.Create(13, 1).Value).Sd, 1e-12);
        Assert.Equal(Math.Sqrt((Math.Pow(0.5 / Math.Sqrt(3) / 26, 2) / 3) + 0.0025), WrapReading.From(Wraps.Create(26, 2, [26, 26]).Value).Sd, 1e-12);
        Assert.Equal(Math.Sqrt((3.0 / 26 / 26) + 0.0025), WrapReading.From(Wraps.Create(26, 2, [23, 29]).Value).Sd, 1e-12);
    }

    // Computed apart from this program: P(true wraps in the row) of 13 counted over 1 in.
    [Fact]
    public void Known_ProbabilityOfTheClassAndItsRunnersUp()
    {
        YardageEstimate estimate = Estimate(new() { Wraps = Wraps.Create(13, 1).Value });
        Assert.Equal(0.9645, estimate.Probability, 0.00005);
        Assert.Equal(new ClassChance(WeightClass.Sport, 0.0230), new ClassChance(estimate.RunnersUp[0].WeightClass, Math.Round(estimate.RunnersUp[0].Probability, 4)));
        Assert.Equal(0.0125, estimate.Chances[WeightClass.Medium], 0.00005);
        Assert.Equal(200, estimate.Low.YardsPer100Grams, 1e-9);
    }

    [Theory]
    [InlineData(0, 10, "sample.metres")]
    [InlineData(-5, 10, "sample.metres")]
    [InlineData(2001, 10, "sample.metres")]
    [InlineData(10, 0, "sample.grams")]
    [InlineData(10, -1, "sample.grams")]
    [InlineData(10, 5001, "sample.grams")]
    [InlineData(0.1, 5000, "sample.metres")]
    public void Invalid_Sample(double metres, double grams, string field) =>
        Refused.With(WeighedSample.Create((decimal)metres, (decimal)grams), field, "allowed");

    [Fact]
    public void Invalid_SampleErrors()
    {
        Refused.With(WeighedSample.Create(10, 5, 6), "sample.grams", "reads to 6 g");
        Refused.With(WeighedSample.Create(10, 5, -1), "sample.divisionGrams", "0 to 1,000 g");
        Refused.With(WeighedSample.Create(10, 5, 1, 10), "sample.errorMetres", "less than the length");
        Refused.With(WeighedSample.Create(10, 5, 1, -1), "sample.errorMetres", "0 or more");
    }

    [Theory]
    [InlineData(0, 10, "gauge.stitches")]
    [InlineData(-4, 10, "gauge.stitches")]
    [InlineData(61, 10, "gauge.stitches")]
    [InlineData(22, 0, "gauge.perCm")]
    [InlineData(22, 101, "gauge.perCm")]
    public void Invalid_Gauge(int stitches, int centimetres, string field) => Refused.With(Gauge.Create(stitches, centimetres), field, "allowed");

    [Theory]
    [InlineData(4.9)]
    [InlineData(20_001)]
    public void Invalid_Count(double metres) => Refused.With(CountReading.Create(LinearDensity.FromMetresPer100Grams(metres), CountKind.Resultant), "count", "5 to 20,000");

    // 300 wraps per inch and none at all.
    [Theory]
    [InlineData(300)]
    [InlineData(0)]
    public void Invalid_Wraps(int count) => Refused.With(Wraps.Create(count, 1), "wraps.count", "1 to 200");

    // CsCheck prints the seed of a case that fails.
    [Fact]
    public void Extreme_WhateverIsKnownTheFiguresStayInOrder() => AnyEvidence.Select(Gen.Long[1, 25_000_000], Gen.Long[0, 1_000_000]).Sample((evidence, milligrams, division) =>
    {
        if (YardageEstimator.Estimate(evidence, Table) is not { } estimate)
        {
            return evidence.AssertedClass is null && (evidence.Wraps is null || evidence.Texture != Texture.Smooth)
                && evidence is { Band: null, Count: null, Gauge: null } && evidence.Sample is not { Divisions: >= 5 };
        }

        LengthRange length = estimate.LengthOf(Mass.FromMilligrams(milligrams), Mass.FromMilligrams(division));
        double probabilities = Enum.GetValues<WeightClass>().Sum(each => estimate.Chances[each]);
        return estimate.Low < estimate.Likely && estimate.Likely < estimate.High && double.IsFinite(estimate.High.MetresPer100Grams)
            && length.Low.Metres >= 0 && length.Low <= length.Likely && length.Likely <= length.High && double.IsFinite(length.High.Metres)
            && Math.Abs(probabilities - 1) < 1e-9 && estimate.Probability is > 0 and <= 1
            && NextMeasurement.For(evidence, YardageRules.Standard, Mass.FromMilligrams(milligrams)).All(next => next.Then <= next.Now && double.IsFinite(next.Now.Metres));
    }, iter: 1000);

    // The same in any guild's room: an own table, what it has learnt, its moisture, fibres of all kinds; and added up, drawn or by sums.
    [Fact]
    public void Extreme_InAnyRoomFiguresAndTotalsStayInOrder() => AnyRules.Select(AnyFibred.Array[1, 40], Gen.Long[1, 25_000_000], Gen.Long[0, 100_000]).Sample((rules, lots, milligrams, division) =>
    {
        (Mass mass, Mass scale) = (Mass.FromMilligrams(milligrams), Mass.FromMilligrams(division));
        List<LotInTotal> total = [];
        foreach (YarnEvidence lot in lots)
        {
            if (rules.Estimate(lot) is not { } estimate)
            {
                continue;
            }

            LengthRange length = estimate.LengthOf(mass, scale);
            Assert.True(estimate.Low < estimate.Likely && estimate.Likely < estimate.High && double.IsFinite(estimate.High.MetresPer100Grams));
            Assert.True(length.Low.Metres >= 0 && length.Low <= length.Likely && length.Likely <= length.High && double.IsFinite(length.High.Metres));
            Assert.Equal(1, Enum.GetValues<WeightClass>().Sum(each => estimate.Chances[each]), 1e-9);
            Assert.All(rules.Next(lot, mass), next => Assert.True(next.Then <= next.Now && double.IsFinite(next.Now.Metres)));
            total.Add(new(estimate, mass, scale));
        }

        LengthRange drawn = LengthTotal.Of(total);
        LengthRange summed = LengthSums.Total(total.Select(lot => LengthSums.Of(lot.Estimate.WeightClass, LengthMoments.Of(lot.Estimate.Distribution), mass, scale)));
        Assert.All<LengthRange>([drawn, summed], each => Assert.True(each.Low.Metres >= 0 && each.Low <= each.Likely && each.Likely <= each.High && double.IsFinite(each.High.Metres)));
    }, iter: 30);

    // One lot is its own length; two of the same are at least twice its low and at most twice its high, since not both are short at once.
    [Fact]
    public void Known_TwoLotsLieWithinTwiceOne() => AnyEvidence.Sample(evidence =>
    {
        if (YardageEstimator.Estimate(evidence, Table) is { } estimate)
        {
            LengthRange one = estimate.LengthOf(Mass.FromGrams(100));
            LengthRange two = LengthTotal.Of([new(estimate, Mass.FromGrams(100)), new(estimate, Mass.FromGrams(100))]);
            Assert.InRange(two.Low.Metres, 2 * one.Low.Metres * 0.995, 2 * one.Likely.Metres);
            Assert.InRange(two.High.Metres, 2 * one.Likely.Metres, 2 * one.High.Metres * 1.005);
        }
    }, iter: 30);

    private static readonly YardageLearning[] Learnt = [.. new[] { (0.0, 0.0, 1.0), (-0.12, 0.15, 1.3), (0.15, -0.2, 1.2), (-0.2, 0.2, 1.4) }.Select((each, i) =>
    {
        InventedRoom room = new(300 + i, each.Item1, each.Item2, each.Item3);
        return YardageLearning.From(Enumerable.Range(0, new[] { 1, 7, 60, 200 }[i]).Select(_ => room.Lot(AtHand.Band | AtHand.Wraps).Evidence with { FibreGroup = (FibreGroup)i }), Table);
    }).Prepend(YardageLearning.Nothing)];

    private static readonly Gen<YardageRules> AnyRules = Gen.Select(Gen.Int[-1, 4], Gen.Double[0.5, 2], Gen.Double[0.7, 1.5], Gen.Double[0, 40], Gen.Bool, (learnt, longer, finer, regain, names) =>
    {
        WeightClassTable own = WeightClassTable.Create("own", Table.Rows.Select(row => row with
        {
            Low = LinearDensity.FromMetresPer100Grams(row.Low.MetresPer100Grams * longer),
            High = LinearDensity.FromMetresPer100Grams(row.High.MetresPer100Grams * longer),
            WrapsAbove = row.WrapsAbove * finer,
            WrapsUpTo = row.WrapsUpTo * finer,
        })).Value;
        return learnt < 0
            ? new YardageRules(own) { Regains = RoomRegains.Create(regain, regain / 2, null).Value, Learning = YardageLearning.From(Enumerable.Range(5, 20).Select(i => new YarnEvidence { Wraps = Wraps.Create(i, 1).Value, Band = Band.Create(i * 15, 100).Value }), own) }
            : new YardageRules(Table) { Learning = Learnt[learnt], IsLearntForNames = names, Regains = RoomRegains.Create(regain, null, regain / 4).Value };
    });

    private static readonly Gen<YarnEvidence> AnyEvidence = Gen.Select(
        Gen.Int[-1, 9],
        Gen.Select(Gen.Int[0, 200], Gen.Decimal[0.5m, 12m], Gen.Int[0, 3]),
        Gen.Select(Gen.Decimal[0m, 20_000m], Gen.Decimal[1m, 5_000m], Gen.Decimal[0m, 100m]),
        Gen.Select(Gen.Double[5, 20_000], Gen.Int[-1, 2]),
        Gen.Decimal[0, 60],
        Gen.Int[0, 12],
        Gen.Bool,
        (named, wraps, pair, count, gauge, texture, hasBand) => new YarnEvidence
        {
            AssertedClass = named < 0 ? null : (WeightClass)named,
            Wraps = Valid(Wraps.Create(wraps.Item1, wraps.Item2, [.. Enumerable.Repeat(1m + wraps.Item1, wraps.Item3)])),
            Band = hasBand ? Valid(Band.Create(pair.Item1, pair.Item2)) : null,
            Sample = Valid(WeighedSample.Create(pair.Item1 / 10, pair.Item2 / 10, pair.Item3, pair.Item1 / 100)),
            Count = count.Item2 < 0 ? null : CountReading.Create(LinearDensity.FromMetresPer100Grams(count.Item1), (CountKind)count.Item2).Value,
            Gauge = Valid(Gauge.Create(gauge)),
            Texture = texture > 6 ? Texture.Smooth : (Texture)texture,
            ScaleDivision = Mass.FromGrams(pair.Item3),
        });

    private static readonly Gen<YarnEvidence> AnyFibred = AnyEvidence.Select(Gen.Int[0, FibreTable.All.Count - 1], Gen.Int[0, FibreTable.All.Count - 1], Gen.Int[0, 99], (evidence, one, other, percent) =>
    {
        (string a, string b) = (FibreTable.All[one].Code, FibreTable.All[other].Code);
        FibreContent fibres = FibreContent.Create(one == other ? [new(a, 100)] : percent == 0 ? [new(a), new(b)] : [new(a, percent), new(b, 100 - percent)]).Value;
        return evidence with { Fibres = fibres, FibreGroup = FibreGroups.Of(fibres) };
    });

    private static T? Valid<T>(GuildStash.Domain.Rules.Outcome<T> outcome)
        where T : class => outcome.IsOk ? outcome.Value : null;

    private static YardageEstimate Estimate(YarnEvidence evidence) => YardageEstimator.Estimate(evidence, Table)!;
}
