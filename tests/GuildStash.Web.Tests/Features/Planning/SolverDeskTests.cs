using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Planning;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>How plans take turns on the machine.</summary>
public sealed class SolverDeskTests
{
    private static readonly PlanOptions Long = new() { Seconds = 600, Workers = 1 };

    /// <summary>Joins among 60 uneven lots: its later stages are not settled for hours.</summary>
    private static PlanProblem Hard()
    {
        Random random = new(11);
        return PlanProblem.Create(new()
        {
            Lots = [.. Enumerable.Range(0, 60).Select(i => new PlanLot { Code = $"L{i}", Mass = Mass.FromGrams((decimal)random.Next(30, 200)), Yarn = LotYarn.Of(150 + random.Next(90), 250, 260), WeightClass = WeightClass.Dk })],
            Pieces = [.. Enumerable.Range(0, 6).Select(i => new PlanPiece
            {
                Name = $"P{i}",
                Wanted = 9,
                Parts = [new() { Name = "Body", Need = LengthNeed.OfSafe(90 + random.Next(200)).Value, WeightClasses = [WeightClass.Dk], MaxLots = 3 }],
            })],
        }).Value;
    }

    [Fact]
    public async Task Solve_WhenTheClientGoes_StopsAndLetsTheNextHaveItsTurn()
    {
        using SolverDesk desk = new();
        using CancellationTokenSource gone = new();
        Started started = new();
        Task<Outcome<PlanAnswer>> first = desk.SolveAsync(Hard(), Long, started, gone.Token);
        await started.Task.WaitAsync(TestContext.Current.CancellationToken);
        Task<Outcome<PlanAnswer>>[] waiting = [.. Enumerable.Range(0, SolverDesk.MostWaiting).Select(_ => desk.SolveAsync(Hard(), Long, null, gone.Token))];

        Outcome<PlanAnswer> tooMany = await desk.SolveAsync(Hard(), Long, null, TestContext.Current.CancellationToken);

        Assert.Equal(("planner-busy", RefusalKind.Conflict), (tooMany.Refusal.Rule, tooMany.Refusal.Kind));
        await gone.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => first);
        foreach (Task<Outcome<PlanAnswer>> other in waiting)
        {
            await Assert.ThrowsAnyAsync<OperationCanceledException>(() => other);
        }

        Outcome<PlanAnswer> next = await desk.SolveAsync(Hard(), new() { Seconds = 0.1 }, null, TestContext.Current.CancellationToken);
        Assert.True(next.IsOk && next.Value.Count > 0);
    }

    private sealed class Started : IProgress<PlanProgress>
    {
        private readonly TaskCompletionSource _told = new(TaskCreationOptions.RunContinuationsAsynchronously);

        public Task Task => _told.Task;

        public void Report(PlanProgress value) => _told.TrySetResult();
    }
}
