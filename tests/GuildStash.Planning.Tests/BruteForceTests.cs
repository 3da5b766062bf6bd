using System.Globalization;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Tests;

/// <summary>Tiny problems whose best plan is known by trying everything.</summary>
public sealed class BruteForceTests(ITestOutputHelper output)
{
    private const int Instances = 300;
    private const int Batches = 6;

    /// <summary>Batches, each with the full model alone, as for all small problems, and with patterns of lots and what they leave out.</summary>
    public static TheoryData<int, long> Batch => [.. Enumerable.Range(0, Batches).SelectMany(i => new (int, long)[] { (i, 50), (i, -1) })];

    [Theory]
    [MemberData(nameof(Batch))]
    public void Solve_WhenEveryPlanCanBeTried_FindsTheBestInEveryStage(int batch, long patternsBeyond)
    {
        int full = 0;
        for (int i = 0; i < Instances / Batches; i++)
        {
            int seed = 7_000 + (batch * 1_000) + i;
            PlanProblem problem = Rooms.Problem(Rooms.Tiny(new Random(seed)));

            PlanAnswer answer = Planner.Solve(problem, Rooms.Quick with { PatternsBeyond = patternsBeyond }, cancellation: TestContext.Current.CancellationToken);

            (long[] expected, int states) = BruteForce.Best(problem);
            double[] shown = [expected[0], expected[1], Math.Round(expected[2] / 10_000.0, 2), expected[3], expected[4]];
            string about = string.Create(CultureInfo.InvariantCulture, $"seed {seed}, {states} states, patterns beyond {patternsBeyond}");
            Assert.Equal(about + ": " + string.Join(" ", shown.Take(answer.Levels.Count)), about + ": " + string.Join(" ", answer.Levels.Select(level => level.Value)));
            Assert.All(answer.Levels, level => Assert.True(level.IsProven, $"{about}: {level}"));
            PlanCheck.Holds(problem, answer, about);
            full += answer.Count > 0 && answer.Levels.Skip(1).Any(level => level.Value > 0) ? 1 : 0;
        }

        output.WriteLine($"{full} of {Instances / Batches} instances had something to make.");
        Assert.True(full > Instances / Batches / 2, $"Only {full} instances had something to make.");
    }
}
