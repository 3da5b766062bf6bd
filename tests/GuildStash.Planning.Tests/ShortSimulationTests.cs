using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;
using GuildStash.Planning.Risk;

namespace GuildStash.Planning.Tests;

/// <summary>Chances of running short whose values can be worked out beside the draws.</summary>
public sealed class ShortSimulationTests
{
    /// <summary>Three standard errors of a chance of 5 % from 8,192 draws (computed).</summary>
    private const double ThreeErrors = 0.0072;

    private static PlanAnswer Solve(PlanInput input) => Planner.Solve(Rooms.Problem(input), Rooms.Quick, cancellation: TestContext.Current.CancellationToken);

    private static PlanLot Sure(string code, double grams) => Rooms.Lot(code, grams, 200) with { Yarn = LotYarn.Of(200, 220, 242, WeightClass.Dk, EstimateBasis.Band) };

    // Computed: a lot is below its low figure once in twenty.
    [Theory]
    [InlineData(0.95, 0.05)]
    [InlineData(0.9, 0.1)]
    [InlineData(0.5, 0.5)]
    public void Known_OneLotOnePiece_RunsShortAsOftenAsTheSafetySays(double safety, double expected)
    {
        // The whole lot goes into the piece, so that no rounding leaves a reserve.
        PlanLot lot = Sure("A", 100);
        double metres = Math.Floor(lot.Yarn.At(safety).MetresPer100Grams * 10) / 10;

        PlanAnswer answer = Solve(new() { Lots = [lot], Pieces = [Rooms.Piece("Hat", 1, Rooms.Part(metres))], Safety = safety });

        Assert.Equal(1, answer.Count);
        Assert.Equal(expected, answer.ChanceOfShort, expected == 0.5 ? 0.02 : ThreeErrors * 1.5);
    }

    // Computed: two lots with errors of their own are both long enough with 0.95 · 0.95.
    [Fact]
    public void Known_TwoLotsOfTheirOwn_AreIndependent()
    {
        PlanAnswer answer = Solve(new() { Lots = [Sure("A", 50), Sure("B", 50)], Pieces = [Rooms.Piece("Hat", 2, Rooms.Part(100))] });

        Assert.Equal(1 - (0.95 * 0.95), answer.ChanceOfShort, ThreeErrors * 1.5);
        Assert.Equal(0.1, answer.PiecesShort, ThreeErrors * 2);
        Assert.Equal(0.05, answer.Made[0].ChanceOfShort, ThreeErrors);
    }

    [Fact]
    public void Run_WhenLotsRestOnOneClass_RunShortTogetherMoreOften()
    {
        PlanInput own = new() { Lots = [.. Enumerable.Range(0, 6).Select(i => Sure($"L{i}", 50))], Pieces = [Rooms.Piece("Hat", 6, Rooms.Part(100))] };
        PlanInput shared = own with { Lots = [.. own.Lots.Select(lot => lot with { Yarn = LotYarn.Of(200, 220, 242, WeightClass.Dk) })] };

        (PlanAnswer apart, PlanAnswer together) = (Solve(own), Solve(shared));

        // As many pieces on average, but gathered in fewer of the draws.
        Assert.Equal(apart.PiecesShort, together.PiecesShort, 0.05);
        Assert.True(together.ChanceOfShort < apart.ChanceOfShort - 0.03, $"{together.ChanceOfShort} against {apart.ChanceOfShort}");
    }

    [Fact]
    public void Run_WhenEvidenceIsKept_DrawsFromItsDistribution()
    {
        YardageEstimate estimate = YardageEstimator.Estimate(new() { Wraps = Wraps.Create(12, 1).Value }, WeightClassTable.Default)!;
        PlanLot lot = Rooms.Lot("A", 100, 200) with { Yarn = LotYarn.Of(estimate), WeightClass = estimate.WeightClass };
        double metres = Math.Floor(estimate.Low.MetresPer100Grams * 10) / 10;

        PlanAnswer answer = Solve(new() { Lots = [lot], Pieces = [Rooms.Piece("Hat", 1, Rooms.Part(metres))] });

        Assert.Equal(0.05, answer.ChanceOfShort, ThreeErrors * 1.5);
    }

    [Fact]
    public void Run_WhenTheNeedHasARange_IsSaferThanTheSafeFigureAlone()
    {
        PlanPart part = Rooms.Part(100) with { Need = LengthNeed.OfRange(80, 90, 100).Value };

        PlanAnswer answer = Solve(new() { Lots = [Sure("A", 50)], Pieces = [Rooms.Piece("Hat", 1, part)] });

        Assert.InRange(answer.ChanceOfShort, 0, 0.02);
    }

    private static double? Ready(PlanPart part, int pieces, params PlanLot[] lots) => ReadyYarnRisk.OfPart(part, pieces, lots, StrandSubstitutes.Default);

    // Computed: the low figure is 200 m to 100 g, so that 50 g are shorter than 100 m once in twenty, and half the time at the likely one.
    [Fact]
    public void Known_ReadyYarn_RunsShortAsOftenAsItsFigureSays()
    {
        Assert.Equal(0.05, Ready(Rooms.Part(100), 1, Sure("A", 50))!.Value, ThreeErrors);
        Assert.Equal(0.5, Ready(Rooms.Part(110), 1, Sure("A", 50))!.Value, 0.02);
        Assert.Equal(0.05, Ready(Rooms.Part(50), 2, Sure("A", 25), Sure("A", 25))!.Value, ThreeErrors);
        Assert.Equal(0.05, Ready(Rooms.Part(50) with { Strands = 2 }, 1, Sure("A", 50))!.Value, ThreeErrors);
        Assert.Equal(Ready(Rooms.Part(105), 1, Sure("A", 50)), Ready(Rooms.Part(105), 1, Sure("A", 50)));
    }

    // Computed: two lots with errors of their own, of 5.8 % each on the logarithm, come to 4.1 %: ln 1.1 below the likely figure is 2.3 of it.
    [Fact]
    public void Known_ReadyYarnOfTwoLots_IsSurerThanOfOne() => Assert.InRange(Ready(Rooms.Part(100), 1, Sure("A", 25), Sure("B", 25))!.Value, 0.004, 0.02);

    // Computed: two strands of DK stand in for bulky, so that 100 g of them are as long as 50 g.
    [Fact]
    public void Known_ReadyYarnThatStandsInForThicker_CountsByItsStrands() =>
        Assert.Equal(0.05, Ready(Rooms.Part(100) with { WeightClasses = [WeightClass.Bulky] }, 1, Sure("A", 100))!.Value, ThreeErrors);

    [Fact]
    public void Ready_WhenItCannotBeTold_IsNull()
    {
        Assert.Null(Ready(Rooms.Part(100), 1));
        Assert.Null(Ready(Rooms.Part(100) with { WeightClasses = [WeightClass.Lace] }, 1, Sure("A", 50)));
        Assert.Null(Ready(Rooms.Part(100) with { Colour = ColourWish.Palette(2), MaxLots = 2 }, 1, Sure("A", 25), Sure("B", 25)));
    }

    [Fact]
    public void Advice_WhenOneLotIsTheDoubtfulOne_NamesIt()
    {
        PlanLot doubtful = Rooms.Lot("Doubt", 50, 200) with { Yarn = LotYarn.Of(200, 300, 450, WeightClass.Dk) };
        PlanLot sure = Rooms.Lot("Sure", 60, 200) with { Yarn = LotYarn.Of(200, 201, 202, WeightClass.Dk, EstimateBasis.Sample) };

        PlanAnswer answer = Solve(new() { Lots = [doubtful, sure], Pieces = [Rooms.Piece("Hat", 2, Rooms.Part(100))] });

        MeasureAdvice first = answer.Measure[0];
        Assert.Equal("Doubt", first.Lot);
        Assert.Equal(0.05, first.PiecesSaved, ThreeErrors);
        Assert.True(first.ChanceThen < answer.ChanceOfShort / 2, $"{first} of {answer.ChanceOfShort}");
        Assert.Equal(50, first.InDoubt.Metres, 0.1);
    }
}
