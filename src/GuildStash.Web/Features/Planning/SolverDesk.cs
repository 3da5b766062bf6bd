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
            PlanAnswer answer = await SolveAndLeaveAsync(problem, options, progress, cancellation);
            cancellation.ThrowIfCancellationRequested();
            return answer;
        }
        finally
        {
            Interlocked.Decrement(ref _here);
        }
    }

    /// <summary>For the one job of this program, which may wait as long as it takes and whose plan is worth having when it was stopped.</summary>
    /// <param name="stop">Ends the search with the best plan so far; asked for while it waits, with what hands would make.</param>
    /// <param name="cancellation">Ends it with nothing.</param>
    /// <exception cref="OperationCanceledException"><paramref name="cancellation"/> was asked for.</exception>
    public async Task<PlanAnswer> SolveInTurnAsync(PlanProblem problem, PlanOptions options, IProgress<PlanProgress>? progress, CancellationToken stop, CancellationToken cancellation)
    {
        using CancellationTokenSource either = CancellationTokenSource.CreateLinkedTokenSource(stop, cancellation);
        try
        {
            await _turn.WaitAsync(either.Token);
        }
        catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
        {
            return await OnItsOwnThread(problem, options, progress, either.Token);
        }

        PlanAnswer answer = await SolveAndLeaveAsync(problem, options, progress, either.Token);
        cancellation.ThrowIfCancellationRequested();
        return answer;
    }

    public void Dispose() => _turn.Dispose();

    private async Task<PlanAnswer> SolveAndLeaveAsync(PlanProblem problem, PlanOptions options, IProgress<PlanProgress>? progress, CancellationToken cancellation)
    {
        try
        {
            return await OnItsOwnThread(problem, options, progress, cancellation);
        }
        finally
        {
            _turn.Release();
        }
    }

    private static Task<PlanAnswer> OnItsOwnThread(PlanProblem problem, PlanOptions options, IProgress<PlanProgress>? progress, CancellationToken cancellation) =>
        Task.Factory.StartNew(
            () => Planner.Solve(problem, options, progress, cancellation), CancellationToken.None, TaskCreationOptions.LongRunning | TaskCreationOptions.DenyChildAttach, TaskScheduler.Default);
}
