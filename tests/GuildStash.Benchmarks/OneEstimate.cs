using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Jobs;
using BenchmarkDotNet.Toolchains.InProcess.Emit;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Benchmarks;

/// <summary>
/// One estimate as the domain makes it, the row of the bench as it is read at each keystroke, and 200 rows at once. In this process, so
/// that nothing is built beside the program.
/// </summary>
[Config(typeof(Settings))]
[MemoryDiagnoser]
public class OneEstimate
{
    private const int LotsOnAPage = 200;

    private static readonly YarnEvidence Counted = new() { Wraps = Wraps.Create(13, 1).Value };

    private static readonly YarnEvidence All = new()
    {
        Band = Band.Create(110, 50).Value,
        Gauge = Gauge.Create(22).Value,
        Wraps = Wraps.Create(13, 1, [13, 14]).Value,
        AssertedClass = WeightClass.Dk,
    };

    private BallForm[] _page = [];

    [GlobalSetup]
    public void Fill() => _page = [.. Enumerable.Range(0, LotsOnAPage).Select(i => new BallForm
    {
        WrapsCount = 4 + (i % 24),
        Grams = 30 + i,
        ScaleDivisionGrams = 1,
        BandLength = i % 2 == 0 ? 60 + i : null,
        BandGrams = i % 2 == 0 ? 50 : null,
        WeightClass = i % 5 == 0 ? WeightClass.Dk : null,
    })];

    [Benchmark]
    public double FiguresFromWraps() => YardageModel.TryFind(Counted, WeightClassTable.Default, YardageLearning.Nothing, false, out YardageFindings found) ? found.Length.Point(0) : 0;

    [Benchmark]
    public double EstimateFromWraps() => YardageRules.Standard.Estimate(Counted)!.Low.MetresPer100Grams;

    [Benchmark]
    public double EstimateFromAll() => YardageRules.Standard.Estimate(All)!.Low.MetresPer100Grams;

    [Benchmark]
    public double OneRow() => BallEstimate.Of(_page[0], YardageRules.Standard).Length!.Value.Low.Metres;

    [Benchmark]
    public double PageOf200Lots()
    {
        double sum = 0;
        foreach (BallForm lot in _page)
        {
            sum += BallEstimate.Of(lot, YardageRules.Standard).Length!.Value.Low.Metres;
        }

        return sum;
    }

    private sealed class Settings : ManualConfig
    {
        public Settings() => AddJob(Job.ShortRun.WithToolchain(InProcessEmitToolchain.Instance));
    }
}
