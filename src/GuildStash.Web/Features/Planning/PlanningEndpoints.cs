using System.ComponentModel;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure;

namespace GuildStash.Web.Features.Planning;

/// <param name="ChanceOfShort">Probability that one of these pieces, picked at random, runs short of its yarn.</param>
internal sealed record MadeAnswer(string Piece, int Count, int Wanted, double ChanceOfShort);

/// <param name="Name">pieces: priorities of what is made; lotsAndJoins; unusable: grams left in amounts under 20 g; colour: points; wishes.</param>
/// <param name="Bound">What no plan can better, the levels before given; null where nothing is proven.</param>
/// <param name="Gap">Between value and bound, over the larger of both; 0 is proven.</param>
internal sealed record LevelAnswer(PlanStage Name, double Value, double? Bound, double? Gap);

/// <param name="Index">Number of the piece among its kind, from 1.</param>
/// <param name="Metres">Of all strands together.</param>
internal sealed record AssignmentAnswer(string Piece, int Index, string Part, string Lot, decimal Grams, double Metres);

internal sealed record LeftoverAnswer(string Lot, decimal Grams, double Metres, bool Usable);

/// <param name="Metres">For all missing pieces, of all strands; what is left over is not set against it.</param>
internal sealed record ShortageAnswer(string Piece, string Part, int Missing, double Metres, decimal? Grams, IReadOnlyList<WeightClass> WeightClasses, ColourFamily? ColourFamily);

/// <param name="PiecesSaved">Pieces that run short through this lot alone, on average.</param>
/// <param name="ChanceOfShortThen">The plan's chance when this lot's shortfall is seen in time.</param>
internal sealed record MeasureLotAnswer(string Lot, double PiecesSaved, double ChanceOfShortThen, double MetresInDoubt);

internal sealed record SolveAnswer
{
    [Description("optimal: proven in every level; feasible: a plan; none: nothing can be made, see reasons.")]
    public required PlanStatus Status { get; init; }

    public required IReadOnlyList<MadeAnswer> Made { get; init; }

    public required IReadOnlyList<LevelAnswer> Levels { get; init; }

    public required IReadOnlyList<AssignmentAnswer> Assignments { get; init; }

    public required IReadOnlyList<LeftoverAnswer> Leftovers { get; init; }

    public required IReadOnlyList<ShortageAnswer> Shortages { get; init; }

    [Description("In words, why pieces are missing.")]
    public required IReadOnlyList<string> Reasons { get; init; }

    [Description("Probability that at least one piece of the plan runs short.")]
    public required double ChanceOfShort { get; init; }

    [Description("Lots worth measuring first.")]
    public required IReadOnlyList<MeasureLotAnswer> Measure { get; init; }

    [Description("Seconds that were allowed.")]
    public required double Seconds { get; init; }

    public static SolveAnswer Of(PlanAnswer plan, PlanOptions options) => new()
    {
        Status = plan.Status,
        Made = [.. plan.Made.Select(each => new MadeAnswer(each.Piece, each.Count, each.Wanted, Math.Round(each.ChanceOfShort, 4)))],
        Levels = [.. plan.Levels.Select(level => new LevelAnswer(level.Stage, level.Value, level.Bound, level.Gap is { } gap ? Math.Round(gap, 4) : null))],
        Assignments = [.. plan.Assignments.Select(each => new AssignmentAnswer(each.Piece, each.Index, each.Part, each.Lot, each.Mass.Grams, Math.Round(each.Length.Metres, 1)))],
        Leftovers = [.. plan.Leftovers.Select(each => new LeftoverAnswer(each.Lot, each.Mass.Grams, ApiMetres.Low(each.Length.Metres)!.Value, each.IsUsable))],
        Shortages = [.. plan.Shortages.Select(each => new ShortageAnswer(each.Piece, each.Part, each.Pieces, Math.Round(each.Length.Metres, 1), each.Mass?.Grams, each.WeightClasses, each.Family))],
        Reasons = [.. plan.Reasons.Select(reason => reason.Sentence.ToString())],
        ChanceOfShort = Math.Round(plan.ChanceOfShort, 4),
        Measure = [.. plan.Measure.Select(each => new MeasureLotAnswer(each.Lot, each.PiecesSaved, Math.Round(each.ChanceThen, 4), Math.Round(each.InDoubt.Metres, 1)))],
        Seconds = options.Seconds,
    };
}

/// <summary>Plans for those who keep their stock elsewhere; nothing of the guild's is read.</summary>
internal static class PlanningEndpoints
{
    public static void MapPlanning(this RouteGroupBuilder api)
    {
        api.MapPlans();
        api.MapPost("/plans/solve", SolveAsync).WithTags("Planning").WithSummary("Which lots make which pieces, how many grams of each, and how good that is proven to be.").Produces<SolveAnswer>();
    }

    private static async Task<IResult> SolveAsync(Body<SolveBody> body, SolverDesk desk, CancellationToken cancellation)
    {
        Outcome<(PlanProblem Problem, PlanOptions Options)> read = SolveFields.Read(body.Value);
        if (!read.IsOk)
        {
            return ApiProblems.Refused(read.Refusals);
        }

        Outcome<PlanAnswer> plan = await desk.SolveAsync(read.Value.Problem, read.Value.Options, null, cancellation);
        return plan.Answer(answer => TypedResults.Ok(SolveAnswer.Of(answer, read.Value.Options)));
    }
}
