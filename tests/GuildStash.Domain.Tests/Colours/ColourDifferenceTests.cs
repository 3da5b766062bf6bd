using CsCheck;
using GuildStash.Domain.Colours;

namespace GuildStash.Domain.Tests.Colours;

public class ColourDifferenceTests
{
    private const double Tolerance = 1e-4;

    private static readonly Gen<Lab> AnyLab = Gen.Select(Gen.Double[0, 100], Gen.Double[-128, 127], Gen.Double[-128, 127], (l, a, b) => new Lab(l, a, b));

    // G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30(1), 2005, table 1: 34 pairs, in both orders.
    [Fact]
    public void Known_SharmaPairs()
    {
        IReadOnlyList<string[]> rows = TestTable.Read("Colours.ciede2000-pairs.csv");
        Assert.Equal(34, rows.Count);
        Assert.All(rows, row =>
        {
            double[] cells = [.. row.Select(TestTable.Number)];
            (Lab one, Lab two) = (new(cells[0], cells[1], cells[2]), new(cells[3], cells[4], cells[5]));
            Assert.Equal(cells[6], ColourDifference.Ciede2000(one, two), Tolerance);
            Assert.Equal(cells[6], ColourDifference.Ciede2000(two, one), Tolerance);
        });
    }

    [Fact]
    public void Known_SymmetricAndNeverNegative() => AnyLab.Select(AnyLab).Sample((one, two) =>
    {
        double difference = ColourDifference.Ciede2000(one, two);
        return difference >= 0 && Math.Abs(difference - ColourDifference.Ciede2000(two, one)) < 1e-9;
    });

    [Fact]
    public void Extreme_EqualColoursDoNotDiffer() => AnyLab.Sample(lab => ColourDifference.Ciede2000(lab, lab) == 0);
}
