using GuildStash.Domain.Rules;
using GuildStash.Planning;
using GuildStash.Planning.Problem;

namespace GuildStash.Web.Features.Planning;

/// <summary>
/// Lets one plan at a time have the machine, since a search takes all of its cores, and a few more wait. A search has a thread of its
/// own, so that no circuit and no request's thread is held up.
/// </summary>
public sealed class SolverDesk : IDisposable
{
    /// <summary>Plans that may wait while one is sought; judgement.</summary>
    public const int MostWaiting = 4;

    private readonly SemaphoreSlim _turn = new(1);
    private int _here;

    /// <returns>The plan, or a refusal when too many wait already.</returns>
    /// <exception cref="OperationCanceledException"><paramref name="cancellation"/> was asked for while the plan waited or was sought.</exception>
    public async Task<Outcome<PlanAnswer>> SolveAsync(PlanProblem problem, PlanOptions options, IProgress<PlanProgress>? progress, CancellationToken cancellation)
    {
        try
        {
            if (Interlocked.Increment(ref _here) > MostWaiting + 1)
            {
                return Refusal.Conflict("planner-busy", "{0} plans are waiting already, and one is being sought. Try again in a minute.", MostWaiting);
            }

            await _turn.WaitAsync(cancellation);
            try
            {
                PlanAnswer answer = await Task.Factory.StartNew(
                    () => Planner.Solve(problem, options, progress, cancellation), cancellation, TaskCreationOptions.LongRunning | TaskCreationOptions.DenyChildAttach, TaskScheduler.Default);
                cancellation.ThrowIfCancellationRequested();
                return answer;
            }
            finally
            {
                _turn.Release();
            }
        }
        finally
        {
            Interlocked.Decrement(ref _here);
        }
    }

    public void Dispose() => _turn.Dispose();
}
