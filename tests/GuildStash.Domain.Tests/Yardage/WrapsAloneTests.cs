using System.Globalization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

/// <summary>A wrap count and nothing else: the row of the count, and what becomes of it as the room learns.</summary>
public class WrapsAloneTests(ITestOutputHelper output)
{
    private static readonly WeightClassTable Table = WeightClassTable.Default;

    public static TheoryData<int> Counts => [.. Enumerable.Range(5, 36)];

    // One lot that is as the table expects never lowers the low, at the cuts neither, and raises it by less than 5 %: it tells something of
    // what differs between rooms, so that what is left is narrower.
    [Theory]
    [MemberData(nameof(Counts))]
    public void Known_TheFirstLotThatAgreesHardlyMovesTheLow(int count)
    {
        YarnEvidence wraps = new() { Wraps = Wraps.Create(count, 1).Value };
        double middle = Table.Row(Table.FromWraps(count)).Middle.MetresPer100Grams;
        YardageLearning one = YardageLearning.From([wraps with { Band = Band.Create((decimal)middle, 100).Value }], Table);
        double moved = (YardageEstimator.Estimate(wraps, Table, one)!.Low.MetresPer100Grams / YardageEstimator.Estimate(wraps, Table)!.Low.MetresPer100Grams) - 1;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} wraps: {moved:P2}"));
        Assert.InRange(moved, 0, 0.05);
    }

    // Nor does any other lot of the first two hundred, surprising ones included.
    [Theory]
    [InlineData(9)]
    [InlineData(12)]
    [InlineData(15)]
    [InlineData(23)]
    public void Known_NoLotAfterItMovesTheLowMuch(int count)
    {
        YarnEvidence wraps = new() { Wraps = Wraps.Create(count, 1).Value };
        InventedRoom room = new(count);
        YardageLearning learning = YardageLearning.Nothing;
        double before = YardageEstimator.Estimate(wraps, Table)!.Low.MetresPer100Grams;
        double farthest = 0;
        for (int lot = 0; lot < 200; lot++)
        {
            learning = learning.With(room.Lot(AtHand.Band | AtHand.Wraps).Evidence, Table);
            double low = YardageEstimator.Estimate(wraps, Table, learning)!.Low.MetresPer100Grams;
            farthest = Math.Max(farthest, Math.Abs(Math.Log(low / before)));
            before = low;
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} wraps: at most {farthest:P2} (seed {count})"));
        Assert.InRange(farthest, 0, 0.08);
    }

    // From a hundred lots on the answer is that of the rows the true wraps may lie in.
    [Fact]
    public void Known_AHundredLotsTrustTrueWrapsAlone()
    {
        YarnEvidence wraps = new() { Wraps = Wraps.Create(9, 1).Value };
        InventedRoom room = new(3);
        YardageLearning learning = YardageLearning.From(Enumerable.Range(0, 100).Select(_ => room.Lot(AtHand.Band | AtHand.Wraps).Evidence), Table);
        YardageEstimate learnt = YardageEstimator.Estimate(wraps, Table, learning)!;
        Assert.Equal(learnt.Chances[WeightClass.Bulky], Enumerable.Range(0, learnt.Distribution.Count).Select(i => learnt.Distribution[i]).Single(part => part.WeightClass == WeightClass.Bulky).Weight, 1e-6);
        Assert.InRange(learnt.Low.YardsPer100Grams, 90, 120);
    }

    /// <summary>
    /// What a count alone costs near a cut where the table means true wraps and not counted ones: shares of lots below low and above high,
    /// computed apart from this program from the rows' chances. docs/adr/0007-estimates.md tells them.
    /// </summary>
    [Theory]
    [InlineData(5, 0.118, 0.046)]
    [InlineData(8, 0.042, 0.185)]
    [InlineData(9, 0.188, 0.042)]
    [InlineData(10, 0.052, 0.055)]
    [InlineData(11, 0.039, 0.198)]
    [InlineData(12, 0.227, 0.039)]
    [InlineData(13, 0.059, 0.07)]
    [InlineData(14, 0.037, 0.276)]
    [InlineData(15, 0.276, 0.037)]
    [InlineData(18, 0.035, 0.185)]
    [InlineData(19, 0.231, 0.036)]
    [InlineData(22, 0.034, 0.349)]
    [InlineData(23, 0.351, 0.033)]
    [InlineData(30, 0.05, 0.05)]
    public void Known_TailsOfACountNearACut(int count, double below, double above)
    {
        YarnEvidence lot = new() { Wraps = Wraps.Create(count, 1).Value };
        YardageEstimate told = YardageEstimator.Estimate(lot, Table)!;
        (double belowLow, double aboveHigh) = (0, 0);
        for (WeightClass each = WeightClass.Lace; each <= WeightClass.Jumbo; each++)
        {
            WeightClassRow row = Table.Row(each);
            double Share(LinearDensity density) => NormalCurve.Below((Math.Log(density.MetresPer100Grams) - row.LogMean) / row.LogSd);
            belowLow += told.Chances[each] * Share(told.Low);
            aboveHigh += told.Chances[each] * (1 - Share(told.High));
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} wraps: {belowLow:P1} below low, {aboveHigh:P1} above high"));
        Assert.Equal(below, belowLow, 0.0006);
        Assert.Equal(above, aboveHigh, 0.0006);
    }
}
