using System.Diagnostics;
using System.Globalization;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Benchmarks;

/// <summary>How long an estimate and a total take, and what they allocate; no database. The fastest of many rounds is the machine's own speed.</summary>
internal static class Estimates
{
    private const int Rounds = 200;
    private const int PerRound = 500;
    private const int LotsInTotal = 100_000;
    private const int Totals = 15;

    private static readonly WeightClassTable Table = WeightClassTable.Default;

    private static readonly (string What, YarnEvidence Evidence)[] Kinds =
    [
        ("class", new() { AssertedClass = WeightClass.Aran }),
        ("wraps", new() { Wraps = Wraps.Create(18, 1, [18, 19]).Value }),
        ("wraps near a cut, and class", new() { Wraps = Wraps.Create(9, 1).Value, AssertedClass = WeightClass.Worsted }),
        ("band", new() { Band = Band.Create(125, 50).Value }),
        ("gauge and wraps", new() { Gauge = Gauge.Create(22).Value, Wraps = Wraps.Create(12, 1).Value }),
        ("everything", new()
        {
            Sample = WeighedSample.Create(36, 16, 0.1m).Value,
            Band = Band.Create(110, 50).Value,
            Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(225), CountKind.Folded).Value,
            Gauge = Gauge.Create(22).Value,
            Wraps = Wraps.Create(13, 1, [13, 14]).Value,
            AssertedClass = WeightClass.Dk,
        }),
    ];

    public static void Run(TextWriter output)
    {
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{DateTime.UtcNow:yyyy-MM-dd HH:mm} UTC, {Environment.ProcessorCount} cores, .NET {Environment.Version}, {Rounds} rounds of {PerRound}"));
        output.WriteLine($"{"what",-52} {"fastest µs",10} {"p50 µs",10} {"p95 µs",10} {"bytes",8}");
        YardageLearning learning = YardageLearning.From(Enumerable.Repeat(Kinds[^1].Evidence, 50), Table);
        foreach ((string what, YarnEvidence evidence) in Kinds)
        {
            output.WriteLine(Line("figures: " + what, () => Figures(evidence, learning)));
            output.WriteLine(Line("estimate with its words: " + what, () => YardageEstimator.Estimate(evidence, Table, learning)!.Low.MetresPer100Grams));
        }

        YarnEvidence coarse = new() { AssertedClass = WeightClass.Aran, ScaleDivision = Mass.FromGrams(1) };
        output.WriteLine(Line("what to measure next", () => NextMeasurement.For(coarse, YardageRules.Standard, Mass.FromGrams(100)).Count));
        output.WriteLine(TotalLine());
    }

    private static double Figures(YarnEvidence evidence, YardageLearning learning)
    {
        YardageModel.TryFind(evidence, Table, learning, true, out YardageFindings found);
        return found.Length.Point(-NormalCurve.NinetyFivePercent) + found.Length.Point(0) + found.Length.Point(NormalCurve.NinetyFivePercent);
    }

    private static string Line(string what, Func<double> act)
    {
        double sum = 0;
        double[] micros = new double[Rounds];
        long bytes = 0;
        // Long enough for the compiler to have optimised it.
        for (int round = -Rounds; round < Rounds; round++)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            long start = Stopwatch.GetTimestamp();
            for (int i = 0; i < PerRound; i++)
            {
                sum += act();
            }

            double elapsed = Stopwatch.GetElapsedTime(start).TotalMicroseconds / PerRound;
            bytes = (GC.GetAllocatedBytesForCurrentThread() - before) / PerRound;
            if (round >= 0)
            {
                micros[round] = elapsed;
            }
        }

        return Written(what, micros, bytes, sum);
    }

    private static string TotalLine()
    {
        YardageEstimate[] estimates = [.. Kinds.Select(kind => YardageEstimator.Estimate(kind.Evidence, Table)!)];
        LotInTotal[] lots = [.. Enumerable.Range(0, LotsInTotal).Select(i => new LotInTotal(estimates[i % estimates.Length], Mass.FromGrams((decimal)(20 + (i % 300))), Mass.FromGrams(1m)))];
        double[] micros = new double[Totals];
        double sum = 0;
        long bytes = 0;
        for (int round = -3; round < Totals; round++)
        {
            long before = GC.GetAllocatedBytesForCurrentThread();
            long start = Stopwatch.GetTimestamp();
            sum += LengthTotal.Of(lots).Low.Metres;
            double elapsed = Stopwatch.GetElapsedTime(start).TotalMicroseconds;
            bytes = GC.GetAllocatedBytesForCurrentThread() - before;
            if (round >= 0)
            {
                micros[round] = elapsed;
            }
        }

        return Written(string.Create(CultureInfo.InvariantCulture, $"total of {LotsInTotal:N0} lots"), micros, bytes, sum);
    }

    private static string Written(string what, double[] micros, long bytes, double sum)
    {
        Array.Sort(micros);
        if (!double.IsFinite(sum))
        {
            throw new InvalidOperationException($"{what} gave {sum}.");
        }

        return string.Create(CultureInfo.InvariantCulture, $"{what,-52} {micros[0],10:0.00} {micros[micros.Length / 2],10:0.00} {micros[micros.Length * 95 / 100],10:0.00} {bytes,8}");
    }
}
