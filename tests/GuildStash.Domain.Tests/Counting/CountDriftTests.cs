using GuildStash.Domain.Counting;
using Xunit;

namespace GuildStash.Domain.Tests.Counting;

public sealed class CountDriftTests
{
    private static readonly double OneGram = CountTolerance.Weighing(1_000);
    private static readonly double Counting = CountTolerance.Counting(1);

    private static CountedDifference Of(long differenceMg, double? book = null) => new(differenceMg, book ?? OneGram, OneGram, Counting);

    /// <summary>Computed: each difference of −3 g is within ± 3.464 g; three add up to −9 g, and the sum may be ± 3.464 g still, since each count is the next book figure.</summary>
    [Fact]
    public void KnownDrift_OfBookedCounts_HasTheToleranceOfFirstAndLast()
    {
        DriftSum drift = CountDrift.OfBooked([Of(-3_000), Of(-3_000), Of(-3_000)], 500_000, 0);

        Assert.Equal(new DriftSum(3, -9_000, 3_464), drift);
        Assert.True(drift.IsBeyond);
        Assert.Equal(CountOutcome.Asked, CountRules.OfLot(-3_000, 3_464, drift));
    }

    /// <summary>Computed: two hand-overs on 5 g between the counts add 2·25/6 g²: 3·√(1/6 + 1/6 + 1 + 50/6) = 9.327 g.</summary>
    [Fact]
    public void KnownDrift_WhenYarnWasHandedOverBetween_AllowsForThoseWeighings()
    {
        DriftSum drift = CountDrift.OfBooked([Of(-3_000), Of(-6_000, OneGram + (2 * CountTolerance.Weighing(5_000)))], 500_000, 0);

        Assert.Equal(new DriftSum(2, -9_000, 9_327), drift);
        Assert.False(drift.IsBeyond);
    }

    [Fact]
    public void Drift_WhenDifferencesGoBothWays_DoesNotAddUp()
    {
        Assert.False(CountDrift.OfBooked([Of(-3_000), Of(3_000), Of(-3_000), Of(2_000)], 500_000, 0).IsBeyond);
    }

    [Fact]
    public void Drift_OfOneCount_IsNone()
    {
        Assert.False(CountDrift.OfBooked([Of(-90_000)], 500_000, 0).IsBeyond);
        Assert.False(CountDrift.OfUnbooked([Of(-90_000)], 500_000, 0).IsBeyond);
    }

    /// <summary>
    /// Computed, four counts of a whole bin, nothing booked between: Σ = −48 g; 3·√(16·1/6 + 4·(1/6 + 1)) = 8.124 g, and moisture
    /// √4 · 10 ‰ of 1 kg = 20 g. One count alone may be off by 3.464 + 10 = 13.464 g, so −12 g each is within.
    /// </summary>
    [Fact]
    public void KnownDrift_OfUnbookedCounts_GrowsSlowerThanTheirSum()
    {
        CountedDifference[] four = [.. Enumerable.Repeat(Of(-12_000), 4)];

        DriftSum drift = CountDrift.OfUnbooked(four, 1_000_000, 10);

        Assert.Equal(new DriftSum(4, -48_000, 28_124), drift);
        Assert.Equal(13_464, CountDrift.OfUnbooked(four[..1], 1_000_000, 10).ToleranceMg);
        Assert.Equal(CountOutcome.Differs, CountRules.OfBin(-12_000, 13_464, drift));
    }

    [Theory]
    [InlineData(0, CountOutcome.Agrees)]
    [InlineData(5_000, CountOutcome.Booked)]
    [InlineData(-5_000, CountOutcome.Booked)]
    [InlineData(5_001, CountOutcome.Asked)]
    [InlineData(-5_001, CountOutcome.Asked)]
    public void Outcome_OfALot_GoesByItsTolerance(long difference, CountOutcome outcome) =>
        Assert.Equal(outcome, CountRules.OfLot(difference, 5_000, new DriftSum(1, difference, 5_000)));

    [Theory]
    [InlineData(5_000, CountOutcome.Agrees)]
    [InlineData(-5_001, CountOutcome.Differs)]
    public void Outcome_OfAWholeBin_BooksNothing(long difference, CountOutcome outcome) =>
        Assert.Equal(outcome, CountRules.OfBin(difference, 5_000, new DriftSum(1, difference, 5_000)));
}
