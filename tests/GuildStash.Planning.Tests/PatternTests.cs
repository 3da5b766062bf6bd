using System.Globalization;
using Google.OrTools.Sat;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;
using GuildStash.Planning.Patterns;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Tests;

public sealed class PatternTests(ITestOutputHelper output)
{
    private const int Instances = 300;
    private const double Slack = 1e-6;

    /// <summary>The bound of every stage, with the stages before it held at their best, against what trying everything finds.</summary>
    [Fact]
    public void Run_WhenEveryPlanCanBeTried_ProvesNothingBetterImpossibleThatIsThere()
    {
        Dictionary<PlanStage, int> exact = [];
        for (int seed = 7_000; seed < 7_000 + Instances; seed++)
        {
            PlanProblem problem = Rooms.Problem(Rooms.Tiny(new Random(seed)));
            FittedPlan plan = new(problem);
            (long[] best, _) = BruteForce.Best(problem);
            List<SettledStage> settled = [];
            foreach (PlanStage stage in plan.Stages)
            {
                long expected = best[(int)stage];

                // A plan that is known to be no better, so that the search goes on until it has nothing left to split.
                double? bound = BoundOf(plan, stage, settled, stage.IsMost() ? 0 : expected + 1_000);

                string about = string.Create(CultureInfo.InvariantCulture, $"seed {seed}, {stage}: bound {bound}, best {expected}");
                Assert.True(bound is not null, about);
                Assert.True(stage.IsMost() ? bound >= expected - Slack : bound <= expected + Slack, about);
                exact[stage] = exact.GetValueOrDefault(stage) + (Math.Abs(bound.Value - expected) < 0.5 ? 1 : 0);
                settled.Add(new(stage, expected, expected));
            }
        }

        output.WriteLine("Exact: " + string.Join(", ", exact.Select(each => $"{each.Key} {each.Value}")) + $" of {Instances}");
        Assert.True(exact[PlanStage.LotsAndJoins] > Instances * 0.8, "Bounds of lots and joins say too little.");
    }

    /// <summary>All best plans lie in one of the cases: in each later stage the best of all cases is the best there is.</summary>
    [Fact]
    public void Cases_WhenEveryPlanCanBeTried_KeepTheBestOfEveryStage()
    {
        int split = 0;
        for (int seed = 7_000; seed < 7_000 + (4 * Instances) && split < 12; seed++)
        {
            PlanProblem problem = Rooms.Problem(Rooms.Tiny(new Random(seed)));
            FittedPlan plan = new(problem);
            (long[] best, _) = BruteForce.Best(problem);
            PlanTime time = new(new() { Seconds = 20, Seed = 1, Workers = 1 }, TestContext.Current.CancellationToken);
            List<SettledStage> settled = [new(PlanStage.Pieces, best[0], best[0])];
            using PatternSearch search = new(plan, new(), time, PlanStage.LotsAndJoins, () => best[1], _ => { });
            search.Run(settled, Draft.Empty, 20, isEasy: () => true);

            IReadOnlyList<Exclusions> cases = search.Cases(best[1], 20);

            // Few problems that are so small need any split.
            split += cases.Count > 1 ? 1 : 0;
            foreach (PlanStage stage in plan.Stages.Where(stage => stage > PlanStage.Pieces && cases.Count > 1))
            {
                IEnumerable<long> found = cases.Select(each => BestIn(plan, each, stage, settled, time)).OfType<long>();
                Assert.Equal(string.Create(CultureInfo.InvariantCulture, $"seed {seed}, {stage} {best[(int)stage]}"), string.Create(CultureInfo.InvariantCulture, $"seed {seed}, {stage} {(stage.IsMost() ? found.Max() : found.Min())}"));
                settled.Add(new(stage, best[(int)stage], best[(int)stage]));
            }
        }

        output.WriteLine($"{split} problems were split into cases.");
        Assert.True(split >= 12, $"Only {split} problems were split into cases.");
    }

    /// <returns>The best value of a stage among plans that leave out what is excluded; null where there is none.</returns>
    private static long? BestIn(FittedPlan plan, Exclusions without, PlanStage stage, List<SettledStage> settled, PlanTime time)
    {
        SliceModel model = new(plan, ModelScope.Everything(without), Draft.Empty);
        foreach (SettledStage before in settled)
        {
            model.Hold(before.Stage, before.Value);
        }

        model.Seek(stage);
        using CpSolver solver = new();
        return CpRun.Solve(solver, model.Model, time, 20).Found ? (long)Math.Round(solver.ObjectiveValue) : null;
    }

    // Computed: 100 m give one piece of 60 m and a rest that no other piece takes; by length alone 5.4 lots would do for nine pieces.
    [Fact]
    public void Run_WhenALotGivesOnePieceOnly_CountsALotForEach()
    {
        PlanProblem problem = Rooms.Problem([.. Enumerable.Range(0, 12).Select(i => Rooms.Lot($"L{i}", 100, 100))], Rooms.Piece("Hat", 9, Rooms.Part(60)));

        double? bound = BoundOf(new(problem), PlanStage.LotsAndJoins, [new(PlanStage.Pieces, 9, 9)], 12);

        Assert.Equal(9, bound!.Value, 5);
    }

    // Computed: three pieces of 40 m take two lots of 60 m: 20 m of each meet in the second piece. Two lots and a join are 3.
    [Fact]
    public void Run_WhenLotsMustBeJoined_CountsTheJoin()
    {
        PlanProblem problem = Rooms.Problem([Rooms.Lot("A", 60, 100), Rooms.Lot("B", 60, 100)], Rooms.Piece("Square", 3, Rooms.Part(40, maxLots: 2)));

        double? bound = BoundOf(new(problem), PlanStage.LotsAndJoins, [new(PlanStage.Pieces, 3, 3)], 9);

        Assert.Equal(3, bound!.Value, 5);
    }

    /// <summary>The best pattern of a lot at random prices, against all its patterns.</summary>
    [Fact]
    public void Best_WhenEveryPatternIsTried_IsWorthAsMuch()
    {
        int tried = 0;
        for (int seed = 0; seed < 200; seed++)
        {
            Random random = new(seed);
            PlanProblem problem = Rooms.Problem(
                [Rooms.Lot("A", random.Next(15, 60), random.Next(2, 5)), Rooms.Lot("B", 50, 5)],
                [.. Enumerable.Range(0, 2).Select(i => Rooms.Piece($"P{i}", 3, Rooms.Part(random.Next(2, 7) / 10.0, maxLots: random.Next(1, 3)) with { Strands = random.Next(1, 3) }))]);
            FittedPlan plan = new(problem);
            PatternItem[] items = [.. new PatternFrame(plan, PlanStage.Unusable, new()).Items[0]];
            PatternPrices prices = new()
            {
                Left = [],
                Opened = random.NextDouble(),
                Cost = new Dictionary<PlanStage, double> { [PlanStage.Unusable] = seed % 2 == 0 ? 0 : random.NextDouble() * 1e-5 },
                Whole = items.ToDictionary(item => (item.Part.Index, item.Group), item => item.Part.Need * random.NextDouble() / 3),
                Joined = items.Where(item => item.JoinSet is not null).ToDictionary(item => (item.Part.Index, item.Group, item.JoinSet!.Value), _ => (random.NextDouble() / 3, random.NextDouble())),
            };

            (double worth, LotPattern? pattern) = new PatternKnapsack(plan.Lots[0], items).Best(prices);

            double best = Math.Max(0, Tried(plan.Lots[0], items, prices, 0, plan.Lots[0].Decimetres, 0));
            Assert.True(worth >= best - Slack, $"seed {seed}: {worth} where {best} is there.");

            // With several strands decimetres need not be whole, and one share more than an item's most may come in.
            bool whole = items.All(item => item.Lot.Strands == 1);
            double loosest = Math.Max(0, Tried(plan.Lots[0], [.. items.Select(item => item with { MostJoined = item.MostJoined + 1 })], prices, 0, plan.Lots[0].Decimetres, 0));
            Assert.True(!whole || worth <= loosest + Slack, $"seed {seed}: {worth} where no more than {loosest} is there.");
            Assert.Equal(worth > 0, pattern is not null);
            tried += whole && worth > 0 ? 1 : 0;
        }

        Assert.True(tried > 20, $"Only {tried} lots were worth opening.");
    }

    /// <summary>Worth of the best way to use what is left, from an item on.</summary>
    private static double Tried(LotStock lot, PatternItem[] items, PatternPrices prices, int at, long left, double worth)
    {
        if (at == items.Length)
        {
            return left == lot.Decimetres ? 0 : worth - prices.Opened - (prices.CostOf(PlanStage.Unusable) * lot.Unusable(lot.Decimetres - left));
        }

        PatternItem item = items[at];
        double best = double.NegativeInfinity;
        for (int whole = 0; whole <= item.MostWhole && whole * item.WholeSize <= left; whole++)
        {
            long free = left - (whole * item.WholeSize);
            double soFar = worth + (whole * prices.WorthWhole(item));
            for (int joined = 0; joined <= (item.JoinSet is null ? 0 : item.MostJoined); joined++)
            {
                for (long worked = joined; worked <= joined * item.LargestShare && worked * item.Lot.Strands <= free; worked++)
                {
                    (double once, double each) = joined == 0 ? (0, 0) : prices.WorthJoined(item);
                    best = Math.Max(best, Tried(lot, items, prices, at + 1, free - (worked * item.Lot.Strands), soFar + (joined * once) + (worked * each)));
                }
            }
        }

        return best;
    }

    private static double? BoundOf(FittedPlan plan, PlanStage stage, IReadOnlyList<SettledStage> settled, long known)
    {
        PlanTime time = new(new() { Seconds = 20, Seed = 1 }, TestContext.Current.CancellationToken);
        using PatternSearch search = new(plan, new(), time, stage, () => known, _ => { });
        search.Run(settled, Draft.Empty, 20, isEasy: () => false);
        return search.Bound;
    }
}
