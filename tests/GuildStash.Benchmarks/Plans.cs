using System.Diagnostics;
using System.Globalization;
using GuildStash.Planning;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;

namespace GuildStash.Benchmarks;

/// <summary>How good plans are after how long, and by how much better than hands that reach for one lot after the other.</summary>
internal static class Plans
{
    private static readonly (string Name, int Lots, int Kinds, int Wanted, double Seconds)[] Sizes =
    [
        ("small", 100, 10, 1, 5),
        ("full", 100, 10, 10, 5),
        ("usual", 500, 20, 20, 20),
        ("stretch", 2_000, 40, 200, 60),
    ];

    public static void Run(TextWriter output, string sizes, int rooms, int? seed, int workers)
    {
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{DateTime.UtcNow:yyyy-MM-dd HH:mm} UTC, {Environment.ProcessorCount} cores, .NET {Environment.Version}, {workers} workers, {(seed is null ? "fast" : "repeatable")}, load {Load()}"));
        foreach ((string name, int lots, int kinds, int wanted, double seconds) in Sizes.Where(size => sizes.Split(',').Contains(size.Name)))
        {
            for (int room = 1; room <= rooms; room++)
            {
                output.WriteLine();
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name}: {lots} lots, {kinds} kinds, up to {wanted} wanted, at most {seconds} s, room {room}"));
                One(output, PlanRoom.Of(room, lots, kinds, wanted), new() { Seconds = seconds, Seed = seed, Workers = workers });
            }
        }
    }

    private static void One(TextWriter output, PlanProblem problem, PlanOptions options)
    {
        Watch watch = new();
        PlanAnswer answer = Planner.Solve(problem, options, watch);
        double end = watch.Seconds;
        FittedPlan plan = new(problem);
        long large = Score.Of(plan, GreedyHand.Make(plan, Reach.LargestFirst, Turn.Priority)).Pieces;
        long fit = Score.Of(plan, GreedyHand.Make(plan, Reach.BestFit, Turn.Priority)).Pieces;
        double planned = answer.Levels[0].Value;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {answer.Status}, {answer.Count} of {problem.Pieces.Sum(piece => piece.Wanted)} pieces, first answer {watch.First:0.00} s, first stage within 2 % after {watch.Within:0.00} s, all after {end:0.0} s, chance of short {answer.ChanceOfShort:0.000}"));
        foreach (PlanLevel level in answer.Levels)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {level.Stage,-14} value {level.Value,10:0.##}  bound {level.Bound,10:0.##}  gap {level.Gap,7:0.00%}  settled after {watch.Settled.GetValueOrDefault(level.Stage),6:0.0} s"));
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  largest lot first {large} points, best fit {fit}; the plan has {planned / large - 1:+0.0%;-0.0%;0} and {planned / fit - 1:+0.0%;-0.0%;0}; peak memory {Peak():0} MB"));
    }

    private static string Load() => File.Exists("/proc/loadavg") ? File.ReadAllText("/proc/loadavg").Split(' ')[0] : "unknown";

    /// <summary>Most memory the process ever had in use; it only grows, so that later rooms show the largest so far.</summary>
    private static double Peak()
    {
        using Process self = Process.GetCurrentProcess();
        return self.PeakWorkingSet64 / 1e6;
    }

    private sealed class Watch : IProgress<PlanProgress>
    {
        private readonly long _start = Stopwatch.GetTimestamp();
        private readonly Lock _gate = new();

        public double Seconds => Stopwatch.GetElapsedTime(_start).TotalSeconds;

        public double First { get; private set; } = double.NaN;

        public double Within { get; private set; } = double.NaN;

        public Dictionary<PlanStage, double> Settled { get; } = [];

        public void Report(PlanProgress value)
        {
            lock (_gate)
            {
                First = double.IsNaN(First) && value.Best > 0 ? Seconds : First;
                Within = double.IsNaN(Within) && value is { Stage: PlanStage.Pieces, Best: > 0, Bound: { } bound } && (bound - value.Best) / bound <= 0.02 ? Seconds : Within;
                Settled[value.Stage] = Seconds;
            }
        }
    }
}
