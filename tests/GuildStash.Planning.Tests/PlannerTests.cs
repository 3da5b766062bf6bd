using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;
using GuildStash.TestSupport;

namespace GuildStash.Planning.Tests;

public sealed class PlannerTests(ITestOutputHelper output)
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public void Solve_WhenRoomsAreInvented_IsNeverWorseThanHandsAndCanBeCarriedOut()
    {
        PlanOptions options = new() { Seconds = 0.15, Seed = 1, Workers = 1 };
        (int better, int proven) = (0, 0);
        int rooms = TestLength.Pick(50, 100);
        for (int i = 0; i < rooms; i++)
        {
            int seed = 90_000 + i;
            Random random = new(seed);
            PlanProblem problem = Rooms.Problem(Rooms.Invented(random, random.Next(5, 40), random.Next(1, 7), 8));
            FittedPlan plan = new(problem);
            Score[] hands = [Score.Of(plan, GreedyHand.Make(plan, Reach.LargestFirst, Turn.Priority)), Score.Of(plan, GreedyHand.Make(plan, Reach.BestFit, Turn.Priority))];

            PlanAnswer answer = Planner.Solve(problem, options, cancellation: Cancellation);

            PlanCheck.Holds(problem, answer, $"seed {seed}");
            double[] planned = [.. answer.Levels.Select(level => level.Value)];
            foreach (Score hand in hands)
            {
                Assert.True(NotWorse(planned, hand), $"seed {seed}: {string.Join(" ", planned)} against {hand}");
            }

            better += hands.All(hand => planned[0] > hand.Pieces) ? 1 : 0;
            proven += answer.Levels[0].IsProven ? 1 : 0;
        }

        output.WriteLine($"More pieces than both hands in {better}, first stage proven in {proven} of {rooms} rooms.");
        Assert.True(better > 0, "No room showed a difference: they are too easy.");
    }

    private static bool NotWorse(double[] planned, Score hand)
    {
        foreach (PlanStage stage in Stages.All.Take(planned.Length))
        {
            double difference = planned[(int)stage] - stage.Shown(hand[stage]);
            if (difference != 0)
            {
                return stage.IsMost() ? difference > 0 : difference < 0;
            }
        }

        return true;
    }

    /// <summary>A search that is cut off before it has a bound must not tell one: its 0 would be a false proof where more is better.</summary>
    [Fact]
    public void Extreme_Bounds_WhenTheTimeEndsInTheMiddle_ContradictNoPlan()
    {
        // Each takes up to 2.5 s of all processors.
        for (int i = 0; i < 8; i += TestLength.Pick(2, 1))
        {
            PlanInput room = Rooms.Invented(new Random(70_000 + i), 300, 8, 10);
            PlanProblem problem = Rooms.Problem(room with { Lots = [.. room.Lots.Select((lot, n) => lot with { Wish = 1 + (n % 50) })] });

            PlanAnswer answer = Planner.Solve(problem, new() { Seconds = 0.4 + (i * 0.3) }, cancellation: Cancellation);

            PlanCheck.Holds(problem, answer, $"room {i}");
            Assert.Contains(answer.Levels, level => level.Stage == PlanStage.Wishes);
        }
    }

    [Fact]
    public void Solve_WhenSeeded_GivesTheSameAnswerAgain()
    {
        PlanProblem problem = Rooms.Problem(Rooms.Invented(new Random(5), 60, 6, 10));
        PlanOptions options = new() { Seconds = 0.6, Seed = 42, Workers = 4 };

        PlanAnswer first = Planner.Solve(problem, options, cancellation: Cancellation);
        PlanAnswer second = Planner.Solve(problem, options, cancellation: Cancellation);

        Assert.NotEmpty(first.Assignments);
        Assert.Equal(first.Assignments, second.Assignments);
        Assert.Equal(first.Levels, second.Levels);
        Assert.Equal(first.ChanceOfShort, second.ChanceOfShort);
    }

    [Fact]
    public void Solve_WhenStoppedBeforeItBegins_AnswersWithWhatHandsMake()
    {
        PlanProblem problem = Rooms.Problem(Rooms.Invented(new Random(6), 40, 5, 8));
        using CancellationTokenSource stop = new();
        stop.Cancel();

        PlanAnswer answer = Planner.Solve(problem, new() { Seconds = 60 }, cancellation: stop.Token);

        Assert.True(answer.IsStopped);
        Assert.True(answer.Count > 0);
        PlanCheck.Holds(problem, answer, "stopped");
    }

    [Fact]
    public void Solve_WhenStoppedOnTheWay_KeepsTheBestThatWasTold()
    {
        // Large enough that the stages can't all be settled at once; the third stage's first word stops it.
        PlanProblem problem = Rooms.Problem(Rooms.Invented(new Random(8), 150, 10, 12));
        using CancellationTokenSource stop = new();
        Told told = new(progress =>
        {
            if (progress.Stage >= PlanStage.LotsAndJoins)
            {
                stop.Cancel();
            }
        });

        PlanAnswer answer = Planner.Solve(problem, new() { Seconds = 30, Workers = 2, Seed = 3 }, told, stop.Token);

        Assert.True(answer.IsStopped);
        Assert.Equal(told.Of(PlanStage.Pieces).Max(each => each.Best), answer.Levels[0].Value);
        PlanCheck.Holds(problem, answer, "stopped on the way");
    }

    // Computed: 100 g at 150 m to 100 g are 150 m, three squares of 50 m; nothing is left.
    [Fact]
    public void Solve_WhenALotComesOutEven_UsesItUp()
    {
        PlanAnswer answer = Planner.Solve(Rooms.Problem([Rooms.Lot("A", 100, 150), Rooms.Lot("B", 100, 149)], Rooms.Piece("Square", 3, Rooms.Part(50))), Rooms.Quick, cancellation: Cancellation);

        Assert.Equal(PlanStatus.Optimal, answer.Status);
        Assert.Equal(["A", "A", "A"], answer.Assignments.Select(each => each.Lot));
        Assert.Empty(answer.Leftovers);
        Assert.Empty(answer.Reasons);
    }

    // Computed: at 0.5 the likely 165 m count, at 0.95 the low 150 m.
    [Theory]
    [InlineData(0.95, 1)]
    [InlineData(0.5, 2)]
    public void Solve_WhenSafetyChanges_ReckonsWithAnotherFigure(double safety, int expected)
    {
        PlanInput input = new() { Lots = [Rooms.Lot("A", 100, 150)], Pieces = [Rooms.Piece("Hat", 2, Rooms.Part(80))], Safety = safety };

        Assert.Equal(expected, Planner.Solve(Rooms.Problem(input), Rooms.Quick, cancellation: Cancellation).Count);
    }

    [Fact]
    public void At_WhenSafetyLiesBetween_LiesBetweenLowAndLikely()
    {
        LotYarn yarn = LotYarn.Of(150, 165, 200);

        Assert.Equal((150, 165), (yarn.At(0.95).MetresPer100Grams, yarn.At(0.5).MetresPer100Grams));
        Assert.InRange(yarn.At(0.8).MetresPer100Grams, 150.1, 164.9);
        Assert.True(yarn.At(0.99) < yarn.At(0.95));
    }

    [Fact]
    public void Extreme_Problems_AreAnswered()
    {
        PlanInput huge = new()
        {
            Lots = [Rooms.Lot("Cone", 25_000, 80_000), Rooms.Lot("Crumb", 0.001, 1)],
            Pieces = [Rooms.Piece("Many", 1_000, Rooms.Part(10_000, maxLots: 1_000)), Rooms.Piece("Dot", 1_000, Rooms.Part(1e-9))],
        };

        PlanAnswer answer = Planner.Solve(Rooms.Problem(huge), Rooms.Quick, cancellation: Cancellation);

        // Computed: 25 kg at 80 km to 100 g are 20,000 km, enough for 1,000 times 10 km and as many decimetres.
        Assert.Equal([1_000, 1_000], answer.Made.Select(each => each.Count));
    }

    [Fact]
    public void Extreme_AsManyOfOneKindAsAPlanTakes_IsPlanned()
    {
        PlanInput many = new()
        {
            Lots = [.. Enumerable.Range(0, 60).Select(i => Rooms.Lot($"Lot {i}", 500, 200))],
            Pieces = [Rooms.Piece("Square", PlanPiece.MostWanted, Rooms.Part(10, maxLots: 2))],
        };

        PlanAnswer answer = Planner.Solve(Rooms.Problem(many), Rooms.Quick, cancellation: Cancellation);

        // Computed: 60 lots of 1,000 m each surely make 100 squares of 10 m, with a loss at most for the safety.
        Assert.InRange(answer.Made[0].Count, 5_000, 6_000);
        Assert.Equal(PlanPiece.MostWanted, answer.Made[0].Wanted);
    }

    [Fact]
    public void Invalid_Problems_AreRefusedWithTheField()
    {
        PlanPiece hat = Rooms.Piece("Hat", 1, Rooms.Part(9));
        PlanLot lot = Rooms.Lot("A", 10, 100);
        (PlanInput Input, string Field)[] wrong =
        [
            (new(), "pieces"),
            (new() { Pieces = [.. Enumerable.Range(0, 10_000).Select(i => hat with { Name = $"H{i}" })] }, "pieces"),
            (new() { Pieces = [.. Enumerable.Range(0, 20).Select(i => hat with { Name = $"H{i}", Wanted = 900 })] }, "pieces"),
            (new() { Pieces = [hat with { Wanted = 10_000 }] }, "pieces[0].wanted"),
            (new() { Pieces = [hat, hat] }, "pieces[1].name"),
            (new() { Pieces = [hat with { Parts = [] }] }, "pieces[0].parts"),
            (new() { Pieces = [hat with { Priority = 0 }] }, "pieces[0].priority"),
            (new() { Pieces = [hat], Safety = double.NaN }, "safety"),
            (new() { Pieces = [hat], MinutesLimit = 0 }, "minutesLimit"),
            (new() { Pieces = [hat], Lots = [lot, lot] }, "lots[1].code"),
            (new() { Pieces = [hat], Lots = [.. Enumerable.Range(0, 5_001).Select(i => lot with { Code = $"L{i}" })] }, "lots"),
            (new() { Pieces = [.. Enumerable.Range(0, 50).Select(i => hat with { Name = $"H{i}" })], Lots = [.. Enumerable.Range(0, 4_001).Select(i => lot with { Code = $"L{i}" })] }, "lots"),
            (new() { Pieces = [Rooms.Piece("Hat", 1, Rooms.Part(9) with { WeightClasses = [] })] }, "pieces[0].parts[0].weightClasses"),
            (new() { Pieces = [Rooms.Piece("Hat", 1, Rooms.Part(9) with { OnlyFibres = ["XX"] })] }, "pieces[0].parts[0].onlyFibres"),
            (new() { Pieces = [Rooms.Piece("Hat", 1, Rooms.Part(9) with { Colour = ColourWish.MatchTo("Trim") })] }, "pieces[0].parts[0].colour"),
            (new() { Pieces = [Rooms.Piece("Hat", 1, Rooms.Part(9), Rooms.Part(9, "Trim") with { Colour = ColourWish.ContrastTo("Body") })] }, "pieces[0].parts[1].colour"),
        ];

        foreach ((PlanInput input, string field) in wrong)
        {
            Assert.Equal(field, PlanProblem.Create(input).Refusal.Field);
        }
    }

    [Theory]
    [InlineData("any", ColourWishKind.Any)]
    [InlineData("oneLot", ColourWishKind.OneLot)]
    [InlineData(" onefamily ", ColourWishKind.OneFamily)]
    [InlineData("family:blue", ColourWishKind.Family)]
    [InlineData("palette:5", ColourWishKind.Palette)]
    [InlineData("contrast:Body", ColourWishKind.Contrast)]
    [InlineData("match: Body", ColourWishKind.Match)]
    public void TryParse_WhenAWishIsWritten_ReadsIt(string text, ColourWishKind kind)
    {
        Assert.True(ColourWish.TryParse(text, out ColourWish wish));
        Assert.Equal(kind, wish.Kind);
    }

    [Theory]
    [InlineData("")]
    [InlineData("blue")]
    [InlineData("family:")]
    [InlineData("family:mauve")]
    [InlineData("palette:many")]
    [InlineData("contrast:")]
    public void Invalid_Wishes_AreNotRead(string text) => Assert.False(ColourWish.TryParse(text, out _));

    // A part that takes worsted or aran may take yarn of which only class 4 is known; one that takes worsted alone may not.
    [Fact]
    public void Solve_WhenOnlyClassFourIsKnown_TakesItWhereBothNamesDo()
    {
        PlanLot[] lots = [Rooms.Lot("A", 100, 150, WeightClass.Medium)];
        PlanPiece both = Rooms.Piece("Both", 1, Rooms.Part(50, classes: [WeightClass.Worsted, WeightClass.Aran]));
        PlanPiece one = Rooms.Piece("One", 1, Rooms.Part(50, classes: [WeightClass.Worsted]));

        PlanAnswer answer = Planner.Solve(Rooms.Problem(lots, both, one), Rooms.Quick, cancellation: Cancellation);

        Assert.Equal([1, 0], answer.Made.Select(each => each.Count));
    }

    [Fact]
    public void Solve_WhenAPaletteIsWished_SharesEquallyAmongFamilies()
    {
        PlanLot[] lots = [.. new[] { ColourFamily.Red, ColourFamily.Blue, ColourFamily.Green, ColourFamily.White }.Select((family, i) => Rooms.Lot($"L{i}", 100, 150, family: family))];

        PlanAnswer answer = Planner.Solve(Rooms.Problem(lots, Rooms.Piece("Blanket", 2, Rooms.Part(180, maxLots: 3, colour: ColourWish.Palette(3)))), Rooms.Quick, cancellation: Cancellation);

        Assert.Equal(2, answer.Count);
        Assert.All(answer.Assignments, each => Assert.Equal(60, each.Length.Metres, 1e-9));
    }

    private sealed class Told(Action<PlanProgress> also) : IProgress<PlanProgress>
    {
        private readonly Lock _gate = new();
        private readonly List<PlanProgress> _all = [];

        public void Report(PlanProgress value)
        {
            lock (_gate)
            {
                _all.Add(value);
            }

            also(value);
        }

        public PlanProgress[] Of(PlanStage stage)
        {
            lock (_gate)
            {
                return [.. _all.Where(each => each.Stage == stage)];
            }
        }
    }
}
