using System.Collections.Concurrent;
using System.Globalization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

/// <summary>Totals against a million draws that follow each lot's error back to where it comes from.</summary>
public class LengthTotalTests(ITestOutputHelper output)
{
    private const int ReferenceDraws = 1_000_000;
    private const int Blocks = 100;
    private const double OnePercent = 0.01;

    private static readonly WeightClassTable Table = WeightClassTable.Default;

    public static TheoryData<string> Rooms => [.. InventedTotals.Keys];

    [Theory]
    [MemberData(nameof(Rooms))]
    public void Known_AMillionDrawsAgree(string room)
    {
        LotInTotal[] lots = InventedTotals[room];
        LengthRange total = LengthTotal.Of(lots);
        (double low, double likely, double high) = MillionDraws(room);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{room}, {lots.Length} lots: {total.Low.Metres / low - 1:P2}, {total.Likely.Metres / likely - 1:P2}, {total.High.Metres / high - 1:P2} off {low:0.0}, {likely:0.0}, {high:0.0} m (seed 4711)"));
        Assert.Equal(low, total.Low.Metres, low * OnePercent);
        Assert.Equal(likely, total.Likely.Metres, likely * OnePercent);
        Assert.Equal(high, total.High.Metres, high * OnePercent);
    }

    /// <summary>The sums that a database can make agree with the same draws, also where one lot is most of the total.</summary>
    [Theory]
    [MemberData(nameof(Rooms))]
    public void Known_SumsAgreeWithAMillionDraws(string room)
    {
        LotInTotal[] lots = InventedTotals[room];
        (double low, double likely, double high) = MillionDraws(room);
        LengthRange summed = Summed(lots);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{room}: {summed.Low.Metres / low - 1:P2}, {summed.Likely.Metres / likely - 1:P2}, {summed.High.Metres / high - 1:P2}"));
        Assert.Equal(low, summed.Low.Metres, low * OnePercent);
        Assert.Equal(likely, summed.Likely.Metres, likely * OnePercent);
        Assert.Equal(high, summed.High.Metres, high * OnePercent);
    }

    // Where it doesn't hold: a great lot that is of one class or of another, which three moments can't show. The draws show it.
    [Fact]
    public void Known_SumsOfOneLotWithTwoHumpsAreFartherOff()
    {
        LotInTotal[] lots = [Of(new() { Wraps = Wraps.Create(9, 1).Value, AssertedClass = WeightClass.Bulky }, 5000), .. InventedTotals["a shelf of everything"].Take(10)];
        double[] reference = Reference(lots, 0.5, 0, seed: 4711);
        (LengthRange drawn, LengthRange summed) = (LengthTotal.Of(lots), Summed(lots));
        foreach ((double share, Func<LengthRange, Length> point) in new (double, Func<LengthRange, Length>)[] { (0.05, each => each.Low), (0.5, each => each.Likely), (0.95, each => each.High) })
        {
            double expected = At(reference, share);
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{share}: drawn {point(drawn).Metres / expected - 1:P2}, summed {point(summed).Metres / expected - 1:P2}"));
            Assert.Equal(expected, point(drawn).Metres, expected * OnePercent);
            Assert.Equal(expected, point(summed).Metres, expected * 0.07);
        }
    }

    private static (double Low, double Likely, double High) MillionDraws(string room) => References.GetOrAdd(room, each =>
    {
        double[] reference = Reference(InventedTotals[each], 0.5, 0, seed: 4711);
        return (At(reference, 0.05), At(reference, 0.5), At(reference, 0.95));
    });

    private static readonly ConcurrentDictionary<string, (double Low, double Likely, double High)> References = new();

    private static LengthRange Summed(LotInTotal[] lots) =>
        LengthSums.Total(lots.Select(lot => LengthSums.Of(lot.Estimate.WeightClass, LengthMoments.Of(lot.Estimate.Distribution), lot.Mass, lot.ScaleDivision)));

    // Computed: the moments of one log-normal give it back.
    [Fact]
    public void Known_SumsOfOneClassAloneAreTheTradesFigures()
    {
        LotInTotal lot = Of(new() { AssertedClass = WeightClass.Aran }, 150);
        LengthRange total = LengthSums.Total([LengthSums.Of(WeightClass.Aran, LengthMoments.Of(lot.Estimate.Distribution), lot.Mass)]);
        Assert.Equal(255.0, total.Low.Yards, 1e-6);
        Assert.Equal(300.0, total.High.Yards, 1e-6);
        Assert.Equal(default, LengthSums.Total([]));
        Assert.Equal(default, LengthSums.Total([LengthSums.Of(WeightClass.Aran, LengthMoments.Of(lot.Estimate.Distribution), Mass.Zero)]));
    }

    [Theory]
    [InlineData(0.0, 0.0)]
    [InlineData(1.0, 0.0)]
    [InlineData(0.5, 0.03)]
    public void Known_AMillionDrawsAgreeWhateverIsShared(double sharedPart, double scaleSd)
    {
        LotInTotal[] lots = InventedTotals["a shelf of everything"];
        LengthRange total = LengthTotal.Of(lots, new TotalSettings { SharedPart = sharedPart, ScaleLogSd = scaleSd });
        double[] reference = Reference(lots, sharedPart, scaleSd, seed: 815);
        Assert.Equal(At(reference, 0.05), total.Low.Metres, At(reference, 0.05) * OnePercent);
        Assert.Equal(At(reference, 0.5), total.Likely.Metres, At(reference, 0.5) * OnePercent);
        Assert.Equal(At(reference, 0.95), total.High.Metres, At(reference, 0.95) * OnePercent);
    }

    // Computed: n equal lots of one class with all of the variance shared are one big lot; with none of it shared the spread falls with √n.
    [Fact]
    public void Known_SharedErrorsStayAndOwnOnesCancel()
    {
        LotInTotal[] lots = [.. Enumerable.Repeat(Of(new() { AssertedClass = WeightClass.Aran }, 100), 400)];
        LengthRange shared = LengthTotal.Of(lots, new TotalSettings { SharedPart = 1 });
        LengthRange own = LengthTotal.Of(lots, new TotalSettings { SharedPart = 0 });
        Assert.Equal(400 * 170, shared.Low.Yards, 400 * 170 * 0.001);
        Assert.Equal(400 * 200, shared.High.Yards, 400 * 200 * 0.001);
        double sd = Math.Log(200 / 170.0) / 2 / 1.6448536269514722;
        double mean = 400 * Math.Sqrt(170 * 200.0) * Math.Exp(sd * sd / 2);
        Assert.Equal(mean * (1 - (1.6448536269514722 * Math.Sqrt(Math.Exp(sd * sd) - 1) / 20)), own.Low.Yards, mean * 0.0005);
        Assert.True(LengthTotal.Of(lots).Low > shared.Low && LengthTotal.Of(lots).Low < own.Low);
    }

    // Computed: 400 lots of 20 g on a scale that reads to 5 g, with nothing shared: relative variance (1 + 25/6/20²)·e^(σ²) − 1 each, over 400.
    [Fact]
    public void Known_RoundingOfManyLotsCancels()
    {
        LengthRange total = LengthTotal.Of([.. Enumerable.Repeat(Of(new() { AssertedClass = WeightClass.Dk }, 20, 5), 400)], new TotalSettings { SharedPart = 0 });
        double sd = Math.Log(273 / 200.0) / 2 / 1.6448536269514722;
        double mean = 400 * 0.2 * Math.Sqrt(200.0 * 273) * Math.Exp(sd * sd / 2);
        double spread = 1.6448536269514722 * mean * Math.Sqrt((((1 + (25 / 6.0 / 400)) * Math.Exp(sd * sd)) - 1) / 400);
        Assert.Equal(mean, total.Likely.Yards, mean * 0.001);
        Assert.Equal(2 * spread, total.High.Yards - total.Low.Yards, spread * 0.05);
    }

    [Fact]
    public void Known_OneLotIsItsOwnLength()
    {
        LotInTotal lot = Of(new() { AssertedClass = WeightClass.Aran }, 150, 1);
        Assert.Equal(lot.Estimate.LengthOf(lot.Mass, lot.ScaleDivision), LengthTotal.Of([lot]));
    }

    [Fact]
    public void Known_TheSameLotsGiveTheSameFigures() =>
        Assert.Equal(LengthTotal.Of(InventedTotals["a shelf of everything"]), LengthTotal.Of(InventedTotals["a shelf of everything"]));

    [Fact]
    public void Extreme_NothingAndEmptyLots()
    {
        Assert.Equal(default, LengthTotal.Of([]));
        Assert.Equal(default, LengthTotal.Of([Of(new() { AssertedClass = WeightClass.Aran }, 0)]));
    }

    [Fact]
    public void Extreme_CrumbsOnAKitchenScaleStayFinite()
    {
        LengthRange total = LengthTotal.Of([.. Enumerable.Range(1, 60).Select(i => Of(new() { AssertedClass = WeightClass.Jumbo }, i * 0.001m, 5))]);
        Assert.True(total.Low.Metres >= 0 && total.Low <= total.Likely && total.Likely <= total.High && double.IsFinite(total.High.Metres));
    }

    [Fact]
    public void Invalid_NegativeMassOrSetting()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => LengthTotal.Of([Of(new() { AssertedClass = WeightClass.Aran }, -1)]));
        Assert.Throws<ArgumentOutOfRangeException>(() => new TotalSettings { SharedPart = 1.1 });
        Assert.Throws<ArgumentOutOfRangeException>(() => new TotalSettings { ScaleLogSd = double.NaN });
    }

    private static readonly Dictionary<string, LotInTotal[]> InventedTotals = new()
    {
        ["two lots of one class"] = [Of(new() { AssertedClass = WeightClass.Jumbo }, 300), Of(new() { AssertedClass = WeightClass.Jumbo }, 200)],
        ["two counts near a cut"] = [Of(new() { Wraps = Wraps.Create(9, 1).Value }, 100), Of(new() { Wraps = Wraps.Create(12, 1).Value }, 80)],
        ["one great lot among small ones"] = [Of(new() { AssertedClass = WeightClass.Jumbo }, 9000, 5), .. Enumerable.Range(1, 27).Select(i => Of(new() { AssertedClass = (WeightClass)(i % 10) }, 20 + i))],
        ["a great lot with its band among unsure ones"] = [Of(new() { Band = Band.Create(60, 100).Value }, 9000), .. Enumerable.Range(1, 12).Select(i => Of(new() { AssertedClass = WeightClass.Jumbo }, 20 + i))],
        ["a great lot by a name of thickness"] = [Of(new() { Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(300), CountKind.TradeName).Value }, 5000), .. Enumerable.Range(1, 12).Select(i => Of(new() { AssertedClass = (WeightClass)(i % 10) }, 20 + i))],
        ["a few of very unlike masses"] = [.. Enumerable.Range(0, 6).Select(i => Of(new() { AssertedClass = WeightClass.Jumbo }, 100 << i))],
        ["many counts near a cut"] = [.. Enumerable.Range(0, 28).Select(i => Of(new() { Wraps = Wraps.Create(9, 1).Value }, 50 + (i % 7 * 30), 1))],
        ["many light lots on a coarse scale"] = [.. Enumerable.Range(0, 28).Select(i => Of(new() { AssertedClass = WeightClass.Dk }, 10 + (i % 5 * 5), 5))],
        ["a shelf of everything"] = [.. Enumerable.Range(0, 30).Select(Everything)],
    };

    private static LotInTotal Everything(int i) => Of(
        new()
        {
            AssertedClass = i % 3 == 0 ? (WeightClass)(i % 10) : null,
            Wraps = i % 3 == 1 ? Wraps.Create(4 + (i % 20), 1).Value : null,
            Band = i % 6 == 2 || i % 9 == 0 ? Band.Create(60 + (i * 7), 100).Value : null,
            Count = i % 6 == 5 ? CountReading.Create(LinearDensity.FromMetresPer100Grams(200 + i), CountKind.TradeName).Value : null,
        },
        25 + (i * i % 300),
        i % 2 == 0 ? 1 : 5);

    private static LotInTotal Of(YarnEvidence evidence, decimal grams, decimal? division = null) =>
        new(YardageEstimator.Estimate(evidence, Table)!, Mass.FromGrams(grams), division is { } d ? Mass.FromGrams(d) : null);

    /// <summary>Draws the class's shared error, each lot's class, its own errors, and the rounding of gross and tare.</summary>
    private static double[] Reference(LotInTotal[] lots, double sharedPart, double scaleSd, int seed)
    {
        (double ofShared, double ofOwn) = (Math.Sqrt(sharedPart), 1 - sharedPart);
        Part[][] parts = [.. lots.Select(lot => Enumerable.Range(0, lot.Estimate.Distribution.Count).Select(i => lot.Estimate.Distribution[i]).Select(part => new Part(
            part.Weight,
            part.Mean,
            (int)part.WeightClass,
            ofShared * part.ClassSd,
            Math.Sqrt((part.Sd * part.Sd) - (part.ClassSd * part.ClassSd) + (ofOwn * part.ClassSd * part.ClassSd)))).ToArray())];
        double[] grams = [.. lots.Select(lot => (double)lot.Mass.Grams)];
        double[] divisions = [.. lots.Select(lot => (double)(lot.ScaleDivision ?? Mass.Zero).Grams)];
        int[] classes = [.. parts.SelectMany(each => each).Select(part => part.WeightClass).Distinct()];
        double[] totals = new double[ReferenceDraws];
        Parallel.For(0, Blocks, block =>
        {
            Dice dice = new((seed * 1000) + block);
            double[] factors = new double[10];
            for (int k = 0; k < ReferenceDraws / Blocks; k++)
            {
                foreach (int of in classes)
                {
                    factors[of] = dice.Normal();
                }

                double total = 0;
                for (int i = 0; i < grams.Length; i++)
                {
                    ref Part part = ref Chosen(parts[i], dice);
                    double weighed = divisions[i] == 0 ? grams[i] : grams[i] + (divisions[i] * (dice.Uniform() - dice.Uniform()));
                    total += weighed / 100 * Math.Exp(part.Mean + (part.Shared * factors[part.WeightClass]) + (part.Own * dice.Normal()));
                }

                totals[(block * (ReferenceDraws / Blocks)) + k] = scaleSd == 0 ? total : total * Math.Exp(scaleSd * dice.Normal());
            }
        });
        Array.Sort(totals);
        return totals;
    }

    private static ref Part Chosen(Part[] parts, Dice dice)
    {
        int c = 0;
        double at = parts.Length == 1 ? 0 : dice.Uniform();
        while (c < parts.Length - 1 && (at -= parts[c].Weight) > 0)
        {
            c++;
        }

        return ref parts[c];
    }

    /// <summary>One way that a lot may be, with the spread it shares with its class and the rest of it.</summary>
    private readonly record struct Part(double Weight, double Mean, int WeightClass, double Shared, double Own);

    /// <summary>Even numbers by SplitMix64 (Steele, Lea and Flood 2014; constants from memory), normal ones in pairs (Marsaglia and Bray 1964).</summary>
    private sealed class Dice(int seed)
    {
        private ulong _state = (ulong)seed << 32;
        private double _spare = double.NaN;

        public double Uniform()
        {
            ulong bits = _state += 0x9E3779B97F4A7C15;
            bits = (bits ^ (bits >> 30)) * 0xBF58476D1CE4E5B9;
            bits = (bits ^ (bits >> 27)) * 0x94D049BB133111EB;
            return ((bits ^ (bits >> 31)) >> 11) * (1.0 / (1UL << 53));
        }

        public double Normal()
        {
            if (!double.IsNaN(_spare))
            {
                (double spare, _spare) = (_spare, double.NaN);
                return spare;
            }

            double x, y, square;
            do
            {
                (x, y) = ((2 * Uniform()) - 1, (2 * Uniform()) - 1);
                square = (x * x) + (y * y);
            }
            while (square is >= 1 or 0);
            double factor = Math.Sqrt(-2 * Math.Log(square) / square);
            _spare = y * factor;
            return x * factor;
        }
    }

    private static double At(double[] sorted, double share) => sorted[(int)(share * sorted.Length)];
}
