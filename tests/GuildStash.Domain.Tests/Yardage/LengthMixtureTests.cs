using CsCheck;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

public class LengthMixtureTests
{
    private static readonly Gen<LengthMixture> AnyMixture = Gen.Int[1, 200].Select(Gen.Int[0, 9], (count, named) => From(new()
    {
        Wraps = Wraps.Create(count, count > 50 ? 4 : 1).Value,
        AssertedClass = named == 0 ? null : (WeightClass)named,
    }));

    [Fact]
    public void Roundtrip_PointAndShareBelow() => AnyMixture.Select(Gen.Double[-4, 4]).Sample((mixture, z) =>
        Math.Abs(mixture.Below(mixture.Point(z)) - NormalCurve.Below(z)) < 1e-10);

    [Fact]
    public void Known_WeightsComeToOne() => AnyMixture.Sample(mixture =>
        Math.Abs(Enumerable.Range(0, mixture.Count).Sum(i => mixture[i].Weight) - 1) < 1e-12);

    // A bimodal case: two far possibilities of equal weight have their median in the empty space between them, where Newton's steps fail.
    // Computed: precision weighting leaves s²/(σ² + s²) of the class's own error in the answer, and of its mean.
    [Fact]
    public void Known_WhatIsLeftOfTheClassAfterAReading()
    {
        LengthComponent left = LengthMixture.Of(new LengthComponent(1, 5, 0.1, 0.1, WeightClass.Dk)).Given(5.1, 0.05)[0];
        Assert.Equal(0.2 * 0.1, left.ClassSd, 1e-12);
        Assert.Equal(5.08, left.Mean, 1e-12);
        Assert.Equal(0.1 * Math.Sqrt(0.2), left.Sd, 1e-12);
    }

    [Fact]
    public void Extreme_MedianBetweenTwoFarPossibilities()
    {
        LengthMixture mixture = LengthMixture.Of(new(0.5, 1, 0.001, 0, default), new(0.5, 9, 0.001, 0, default));
        Assert.InRange(mixture.Point(0), 1.002, 8.998);
        Assert.Equal(1 + (0.001 * NormalCurve.PointOf(0.1)), mixture.Point(NormalCurve.PointOf(0.05)), 1e-9);
    }

    [Fact]
    public void Extreme_AReadingFarFromAllKeepsTheWeightsFinite()
    {
        LengthMixture posterior = From(new() { Wraps = Wraps.Create(9, 1).Value }).Given(60, 0.01);
        Assert.True(double.IsFinite(posterior.Mean) && posterior.Count > 0);
    }

    [Fact]
    public void Invalid_IndexAndPossibilities()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => default(LengthMixture)[0]);
        Assert.Throws<ArgumentOutOfRangeException>(() => LengthMixture.Of());
        Assert.Throws<ArgumentOutOfRangeException>(() => LengthMixture.Of(new LengthComponent(0.5, 1, 0, 0, default)));
        Assert.Throws<ArgumentOutOfRangeException>(() => LengthMixture.Of(new LengthComponent(0, 1, 1, 0, default)));
    }

    [Fact]
    public void Known_EqualMixturesAreEqual()
    {
        Assert.True(From(new() { Wraps = Wraps.Create(9, 1).Value }) == From(new() { Wraps = Wraps.Create(9, 1).Value }));
        Assert.True(From(new() { Wraps = Wraps.Create(9, 1).Value }) != From(new() { Wraps = Wraps.Create(12, 1).Value }));
    }

    private static LengthMixture From(YarnEvidence evidence) => YardageEstimator.Estimate(evidence, WeightClassTable.Default)!.Distribution;
}
