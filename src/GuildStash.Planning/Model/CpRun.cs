using System.Diagnostics;
using System.Globalization;
using Google.OrTools.Sat;

namespace GuildStash.Planning.Model;

/// <summary>What a search came to.</summary>
/// <param name="Found">Whether there is an answer to read.</param>
/// <param name="Bound">What the model's objective can't be better than; null where nothing is proven.</param>
/// <param name="Impossible">Proven that nothing meets the model.</param>
internal readonly record struct SearchResult(bool Found, double? Bound, bool Impossible);

/// <summary>Time that is left for a plan: seconds by the clock, or where it must be repeatable steps that the solver counts.</summary>
internal sealed class PlanTime(PlanOptions options, CancellationToken cancellation)
{
    // A repeatable run ends here however busy the machine is, and is then no longer repeatable.
    private const double MostTimesSeconds = 5;
    private const double LeastSecondsOnClock = 60;

    // Each worker has a copy of the model: of a large one there are fewer, so that a gigabyte holds them.
    private const int LargeModel = 20_000;
    private const int WorkersOnLarge = 3;

    private readonly Stopwatch _clock = Stopwatch.StartNew();
    private double _spent;

    public PlanOptions Options { get; } = options;

    public CancellationToken Cancellation { get; } = cancellation;

    public double Left => Math.Max(0, Options.Seconds - (Options.Seed is null ? _clock.Elapsed.TotalSeconds : _spent));

    public bool IsOver => Left <= 0.01 || Cancellation.IsCancellationRequested || RanOut;

    /// <summary>Whether a repeatable run was ended by the clock, so that another run may come further.</summary>
    public bool RanOut => Options.Seed is not null && _clock.Elapsed.TotalSeconds > MostOnClock;

    /// <summary>Seconds until the clock ends the run, whatever is counted: at least a hundredth.</summary>
    public double SecondsOnClock => Math.Max(0.01, MostOnClock - _clock.Elapsed.TotalSeconds);

    private double MostOnClock => Options.Seed is null ? Options.Seconds : Math.Max(LeastSecondsOnClock, Options.Seconds * MostTimesSeconds);

    public void Spend(double steps) => _spent += steps;

    public string Parameters(double seconds, int variables)
    {
        int workers = variables > LargeModel ? Math.Min(Options.Workers, WorkersOnLarge) : Options.Workers;
        string limit = Options.Seed is { } seed
            ? string.Create(CultureInfo.InvariantCulture, $"random_seed:{seed & int.MaxValue}, interleave_search:true, max_deterministic_time:{seconds}, max_time_in_seconds:{SecondsOnClock}")
            : string.Create(CultureInfo.InvariantCulture, $"max_time_in_seconds:{seconds}");
        return string.Create(CultureInfo.InvariantCulture, $"num_workers:{workers}, {limit}, symmetry_level:0");
    }
}

/// <summary>Runs the solver on a model, with time limit, progress and a way to stop it.</summary>
internal static class CpRun
{
    public static SearchResult Solve(CpSolver solver, CpModel model, PlanTime time, double seconds, Action<double, double>? found = null)
    {
        if (time.IsOver || seconds < 0.01)
        {
            return default;
        }

        solver.StringParameters = time.Parameters(Math.Min(seconds, time.Left), model.Model.Variables.Count);
        using CancellationTokenRegistration stop = time.Cancellation.Register(solver.StopSearch);
        using Watcher watcher = new(found);
        CpSolverStatus status = solver.Solve(model, watcher);
        time.Spend(solver.Response?.DeterministicTime ?? 0);
        return new(
            status is CpSolverStatus.Optimal or CpSolverStatus.Feasible,
            status switch
            {
                CpSolverStatus.Optimal => solver.ObjectiveValue,
                CpSolverStatus.Feasible when double.IsFinite(solver.BestObjectiveBound) => solver.BestObjectiveBound,

                // A search that was cut off before it had any bound says 0, which of a sum to be made large would be a false proof.
                CpSolverStatus.Unknown when double.IsFinite(solver.BestObjectiveBound) && solver.BestObjectiveBound != 0 => solver.BestObjectiveBound,
                _ => null,
            },
            status == CpSolverStatus.Infeasible);
    }

    private sealed class Watcher(Action<double, double>? found) : CpSolverSolutionCallback
    {
        public override void OnSolutionCallback() => found?.Invoke(ObjectiveValue(), BestObjectiveBound());
    }
}
