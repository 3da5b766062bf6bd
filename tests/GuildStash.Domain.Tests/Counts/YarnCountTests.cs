using CsCheck;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Counts;

public class YarnCountTests
{
    private const double Relative = 1e-12;
    private static readonly Gen<CountSystem> AnySpinners = Gen.Enum<CountSystem>().Where(system => system.IsSpinners());
    private static readonly Gen<CountSystem> AnyIndirect = AnySpinners.Where(system => !system.IsDirect());

    private static readonly string[] Parts = ["0", "1", "2", "28", "0.5", "999999999999", "1.2.3", "/", "x", "+", " ", "s", "Nm", "Ne", "tex", "R", "-", "½", "\ud800"];
    private static readonly Gen<string> AnyWriting = Gen.Int[0, Parts.Length - 1].Select(at => Parts[at]).Array[1, 6].Select(string.Concat);

    // 60s + 40s: Taylor, Cotton Weaving and Designing, 6th ed.; the others: Brooks, Cotton Manufacturing (the mean, 15 for the second, is wrong).
    [Theory]
    [InlineData("60s + 40s", 24, 1e-9)]
    [InlineData("40s + 20s", 13.33, 0.005)]
    [InlineData("40s + 80s + 120s", 21.818, 0.0005)]
    public void Known_DifferentSingles(string text, double resultant, double tolerance) =>
        Assert.Equal(resultant, YarnCount.Parse(text, CountSystem.Cotton).Value.Resultant, tolerance);

    // Computed from 840 yd/lb and 453.59237 g/lb. "2400 yd/lb" for 5/2 is a misprint found in print.
    [Theory]
    [InlineData("8/2", 3360, 740.75)]
    [InlineData("10/2", 4200, 925.94)]
    [InlineData("5/2", 2100, 462.97)]
    public void Known_FoldedCotton(string text, double yardsPerPound, double yardsPer100Grams)
    {
        YarnCount count = YarnCount.Parse(text, CountSystem.Cotton).Value;
        Assert.Equal(yardsPerPound, count.In(CountSystem.YardsPerPound), yardsPerPound * Relative);
        Assert.Equal(yardsPer100Grams, count.In(CountSystem.YardsPer100Grams), 0.005);
        Assert.Equal(count.Resultant, CountConversion.Convert(CountSystem.YardsPerPound, yardsPerPound, CountSystem.Cotton).Value, 1e-9);
    }

    // Computed: 28/2 · 100 = 1400 m/100 g = 1531.06 yd/100 g.
    [Theory]
    [InlineData("Nm 2/28")]
    [InlineData("28/2 Nm")]
    [InlineData("nm2/28")]
    [InlineData(" Nm 28 x 2 ")]
    [InlineData("2×28 Nm")]
    public void Known_MetricTwoTwentyEight(string text)
    {
        YarnCount count = YarnCount.Parse(text).Value;
        Assert.Equal((14, 2, CountSystem.Metric), (count.Resultant, count.Plies, count.System));
        Assert.Equal(1400, count.Density.MetresPer100Grams, 1e-9);
        Assert.Equal(1531.06, count.In(CountSystem.YardsPer100Grams), 0.005);
    }

    // Common practice: spun silk 40/2 is a yarn of 40.
    [Fact]
    public void Known_SpunSilkIsAlreadyTheResultant()
    {
        Assert.Equal((40, 2), Pair(YarnCount.Parse("40/2", CountSystem.Cotton, CountNotation.Resultant).Value));
        Assert.Equal((20, 2), Pair(YarnCount.Parse("40/2", CountSystem.Cotton).Value));
        Assert.All<string>(["silk Ne 40/2", "Ne 40/2 silk", "spun silk 2/40 Ne", "Seide Ne 40/2"], text => Assert.Equal((40, 2), Pair(YarnCount.Parse(text).Value)));
        Assert.Equal((40, 2), Pair(YarnCount.Parse("silk 40/2", CountSystem.Cotton).Value));
        Assert.Equal((30, 2), Pair(YarnCount.Parse("silk Nm 60/2").Value));
    }

    // A resultant that is stated is surer than one reckoned from singles (judgement, 4 % and 5 %).
    [Theory]
    [InlineData("R 40 tex / 2", CountKind.Resultant)]
    [InlineData("silk Ne 40/2", CountKind.Resultant)]
    [InlineData("20 tex", CountKind.Resultant)]
    [InlineData("Nm 14", CountKind.Resultant)]
    [InlineData("20 tex x 2", CountKind.Folded)]
    [InlineData("Nm 2/28", CountKind.Folded)]
    [InlineData("Ne 60 + 40", CountKind.Folded)]
    public void Known_HowFarACountMayBeTrusted(string text, CountKind kind) => Assert.Equal(kind, YarnCount.Parse(text).Value.Kind);

    // ISO 1139 (from memory): "20 tex × 2" are two singles of 20, "R 40 tex / 2" the resultant.
    [Theory]
    [InlineData("20 tex x 2")]
    [InlineData("R 40 tex / 2")]
    [InlineData("R40/2 tex")]
    public void Known_FoldedTex(string text) => Assert.Equal((40, 2), Pair(YarnCount.Parse(text).Value));

    [Theory]
    [InlineData("16,5", 16.5)]
    [InlineData("1,5/1", 1.5)]
    [InlineData("0.75/2", 0.375)]
    [InlineData("30s", 30)]
    [InlineData("1.200", 1.2)]
    public void Known_Writings(string text, double resultant) => Assert.Equal(resultant, YarnCount.Parse(text, CountSystem.Cotton).Value.Resultant, 1e-12);

    [Fact]
    public void Roundtrip_PliesEitherWayRound() => AnySpinners.Select(Gen.Int[13, 90], Gen.Int[1, 12]).Sample((system, count, plies) =>
        YarnCount.Folded(system, count, plies) is { IsOk: true } outcome && outcome.Value == YarnCount.Folded(system, plies, count).Value && outcome.Value.Plies == plies);

    [Fact]
    public void Roundtrip_FoldedThroughAnotherSystem() => AnyIndirect.Select(AnyIndirect, Gen.Int[13, 90], Gen.Int[1, 12]).Sample((from, to, count, plies) =>
    {
        YarnCount folded = YarnCount.Folded(from, count, plies).Value;
        YarnCount back = YarnCount.Single(from, YarnCount.Single(to, folded.In(to)).Value.In(from)).Value;
        return Math.Abs(back.Resultant - ((double)count / plies)) <= Relative * count;
    });

    [Fact]
    public void Known_StrandsAreThickerThanEach() => AnySpinners.Select(Gen.Double[1, 100].Array[2, 12]).Sample((system, singles) =>
    {
        YarnCount together = YarnCount.OfSingles(system, singles).Value;
        return together.Plies == singles.Length && singles.All(single => together.Density < CountConversion.Density(system, single).Value);
    });

    [Theory]
    [InlineData("0/2")]
    [InlineData("2/0")]
    [InlineData("0/0")]
    [InlineData("20/40")]
    [InlineData("1.5/2.5")]
    public void Invalid_Folded(string text) => Refused.With(YarnCount.Parse(text, CountSystem.Metric), "count", text.Split('/')[0], "1 to 12", "more than 0");

    [Theory]
    [InlineData("0", "0 is no possible cotton count")]
    [InlineData("100000", "100000 is no possible cotton count")]
    [InlineData("100000/2", "100000 is no possible cotton count")]
    [InlineData("0.006/2", "0.003 is no possible cotton count")]
    public void Invalid_OutOfRange(string text, string told) =>
        Refused.With(YarnCount.Parse(text, CountSystem.Cotton), "count", told, "0.005906 to 5905 is allowed");

    [Theory]
    [InlineData("")]
    [InlineData(null)]
    [InlineData("NaN")]
    [InlineData("∞")]
    [InlineData("-5")]
    [InlineData("2/-28")]
    [InlineData("2//28")]
    [InlineData("2/")]
    [InlineData("/2")]
    [InlineData("2 28")]
    [InlineData("60+40/2")]
    [InlineData("1.2.3")]
    [InlineData("12345678901234567890")]
    [InlineData("Nm Ne 2/28")]
    [InlineData("<b>2/28</b>")]
    public void Invalid_Text(string? text) => Refused.With(YarnCount.Parse(text, CountSystem.Metric), "count", $"\"{text}\" is not a count", "2/28");

    [Theory]
    [InlineData("2/2/28", "cabled")]
    [InlineData("20x2x3", "cabled")]
    public void Invalid_Cabled(string text, string told) => Refused.With(YarnCount.Parse(text, CountSystem.Cotton), "count", told, "count of the whole yarn");

    [Fact]
    public void Invalid_WithoutSystem() => Refused.With(YarnCount.Parse("2/28"), "count", "\"2/28\"", "Nm");

    [Fact]
    public void Invalid_TwoSystems() => Refused.With(YarnCount.Parse("Nm 2/28", CountSystem.Cotton), "count", "metric count (Nm)", "cotton count (Ne)");

    [Fact]
    public void Invalid_SlashInAMassSystem() => Refused.With(YarnCount.Parse("150/48 den"), "count", "strands or filaments", "150x48");

    [Theory]
    [InlineData("2/300", CountSystem.MetresPer100Grams)]
    [InlineData("300+200", CountSystem.YardsPerPound)]
    public void Invalid_FoldedLength(string text, CountSystem system) => Refused.With(YarnCount.Parse(text, system), "count", "whole yarn");

    [Fact]
    public void Invalid_Strands()
    {
        Refused.With(YarnCount.OfSingles(CountSystem.Metric, []), "count", "0 strands", "1 to 12");
        Refused.With(YarnCount.OfSingles(CountSystem.Metric, [.. Enumerable.Repeat(20.0, 13)]), "count", "13 strands", "1 to 12");
        Refused.With(YarnCount.OfSingles(CountSystem.Metric, [20, double.NaN, -1]), "count", "NaN", "is allowed");
    }

    [Fact]
    public void Invalid_NamesTheFieldAskedFor() => Refused.With(YarnCount.Parse("0/2", CountSystem.Cotton, field: "value"), "value", "0/2");

    [Fact]
    public void Extreme_LongTextIsShortenedInTheSentence() => Assert.True(YarnCount.Parse(new string('2', 10_000)).Refusal.ToString().Length < 250);

    [Fact]
    public void Extreme_AnyTextGivesAFiniteCountOrARefusal() => Gen.OneOf(AnyWriting, Gen.String).Select(AnySpinners).Sample((text, system) =>
    {
        Outcome<YarnCount> count = YarnCount.Parse(text, system);
        return count.IsOk
            ? double.IsFinite(count.Value.Resultant) && count.Value.Resultant > 0 && count.Value.Plies is >= 1 and <= YarnCount.MaxPlies
            : count.Refusals.Count == 1 && count.Refusal.ToString().Length < 400;
    }, iter: 5_000);

    private static (double, int) Pair(YarnCount count) => (count.Resultant, count.Plies);
}
