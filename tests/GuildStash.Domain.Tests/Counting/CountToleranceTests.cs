using GuildStash.Domain.Counting;
using Xunit;

namespace GuildStash.Domain.Tests.Counting;

public sealed class CountToleranceTests
{
    /// <summary>3·√(Σ d²/6 + counting error²) and the moisture term, computed by hand; masses in milligrams.</summary>
    [Theory]
    // Two weighings on 1 g: 3·√(2/6) = 1.732 g.
    [InlineData(new long[] { 1_000, 1_000 }, 0, 0, 500_000, 1_732)]
    // The same with 1 g of counting error: 3·√(2/6 + 1) = 3.464 g.
    [InlineData(new long[] { 1_000, 1_000 }, 1, 0, 500_000, 3_464)]
    // And 10 per mille of 500 g: 3.464 + 5 = 8.464 g.
    [InlineData(new long[] { 1_000, 1_000 }, 1, 10, 500_000, 8_464)]
    // Sorted on 1 g, twice handed over on 5 g, counted on 5 g: 3·√(1/6 + 3·25/6 + 1) = 11.091 g.
    [InlineData(new long[] { 1_000, 5_000, 5_000, 5_000 }, 1, 0, 500_000, 11_091)]
    // A bin of twenty lots on 1 g, weighed whole on 5 g: 3·√(20/6 + 25/6 + 20) + 10 ‰ of 4 kg = 15.732 + 40 g.
    [InlineData(new long[] { 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 1_000, 5_000 }, 20, 10, 4_000_000, 55_732)]
    public void KnownTolerance_IsThreeDeviationsAndMoisture(long[] divisions, int lots, int perMille, long mass, long expected)
    {
        double variance = divisions.Sum(d => CountTolerance.Weighing(d)) + CountTolerance.Counting(lots);

        Assert.Equal(expected, CountTolerance.Of(variance, mass, perMille));
    }

    /// <summary>Computed: 25/12 + 1/12 g² = 2.1667 g²; the same scale for both is d²/6.</summary>
    [Fact]
    public void KnownWeighing_OfGrossAndTareOnTwoScales_AddsTheirRoundings()
    {
        Assert.Equal(2_166_666.667, CountTolerance.Weighing(5_000, 1_000), 0.001);
        Assert.Equal(CountTolerance.Weighing(2_000), CountTolerance.Weighing(2_000, 2_000), 0.001);
        Assert.Equal(CountTolerance.Weighing(1_000), CountTolerance.Weighing(null), 0.001);
    }

    [Fact]
    public void ExtremeTolerance_OfAnEmptyOrOverdrawnBin_HasNoMoisture()
    {
        Assert.Equal(3_000, CountTolerance.Of(CountTolerance.Counting(1), 0, 50));
        Assert.Equal(3_000, CountTolerance.Of(CountTolerance.Counting(1), -200_000, 50));
    }

    /// <summary>A hundred thousand honest counts of a lot that nobody touched: gross and tare round on both occasions, the rest is as stated.</summary>
    [Fact]
    public void Tolerance_WhenNothingIsMissing_IsLeftByFewerThanOneCountInAHundred()
    {
        const int Seed = 20260301;
        Random random = new(Seed);
        double Round(double mg, double d) => Math.Round(mg / d) * d;
        double Weigh(double mg, double d)
        {
            double tare = random.NextDouble() * 20_000;
            return Round(mg + tare, d) - Round(tare, d);
        }

        long tolerance = CountTolerance.Of(CountTolerance.Weighing(2_000) + CountTolerance.Weighing(5_000) + CountTolerance.Counting(1), 300_000, 0);
        int beyond = 0;
        for (int i = 0; i < 100_000; i++)
        {
            double truth = 100_000 + (random.NextDouble() * 400_000);
            double handling = CountTolerance.CountingErrorMg * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            beyond += Math.Abs(Weigh(truth + handling, 5_000) - Weigh(truth, 2_000)) > tolerance ? 1 : 0;
        }

        Assert.True(beyond is > 0 and < 1_000, $"seed {Seed}: {beyond} of 100000 beyond {tolerance} mg");
    }
}
