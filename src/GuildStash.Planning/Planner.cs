using GuildStash.Planning.Answers;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning;

/// <summary>Finds which lots make which pieces, and proves how good that is as far as the time allows.</summary>
public static class Planner
{
    /// <summary>
    /// Runs on the caller's thread, and on the solver's own, until every stage is settled, the time is over or
    /// <paramref name="cancellation"/> asks to stop; then the best plan so far is the answer. Never throws for being stopped.
    /// </summary>
    /// <param name="problem">What to plan.</param>
    /// <param name="options">Time, seed and workers.</param>
    /// <param name="progress">Told of every better plan, from the solver's threads.</param>
    /// <param name="cancellation">Stops the search.</param>
    public static PlanAnswer Solve(PlanProblem problem, PlanOptions? options = null, IProgress<PlanProgress>? progress = null, CancellationToken cancellation = default)
    {
        PlanTime time = new(options ?? PlanOptions.Default, cancellation);
        FittedPlan plan = new(problem);
        StagedSearch search = new(plan, time, progress);
        search.Run();
        return AnswerWriter.Write(plan, search.Best, search.Settled, time);
    }
}
