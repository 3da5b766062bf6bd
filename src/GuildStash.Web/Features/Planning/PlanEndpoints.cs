using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Data.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Planning;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;

namespace GuildStash.Web.Features.Planning;

internal sealed record AskedPlanAnswer(Guid Id, string Number, PlanState Status);

/// <param name="Piece">As the plan names it.</param>
/// <param name="Covered">How many were in kits or made already.</param>
internal sealed record PlanMadeAnswer(string Piece, int Count, int Wanted, int Covered, double ChanceOfShort, Guid? PieceId, Guid? WantedPieceId, Guid? ProjectId);

internal sealed record PlanKitAnswer(Guid Id, string Number, string RequestNumber, string Piece, int Pieces);

internal sealed record AcceptedPlanAnswer(Guid Id, string Number, IReadOnlyList<PlanKitAnswer> Kits);

/// <summary>A plan of the guild's own lots, as far as it is.</summary>
internal sealed record PlanAnswerBody
{
    public required Guid Id { get; init; }

    public required string Number { get; init; }

    [Description("waiting, running, done, stopped, interrupted (the program ended; the best answer by then is kept) or failed (see trouble).")]
    public required PlanState Status { get; init; }

    [Description("optimal: proven in every level; feasible: a plan; none: nothing can be made, see reasons. Left out while there is no answer.")]
    public PlanStatus? Result { get; init; }

    [Description("Level that is being settled; left out when it has ended.")]
    public PlanStage? Level { get; init; }

    [Description("Value of that level so far; of the first one when it has ended.")]
    public double? Best { get; init; }

    [Description("What best can't surpass; left out where nothing is proven.")]
    public double? Bound { get; init; }

    [Description("Between best and bound, over the larger of both; 0 is proven.")]
    public double? Gap { get; init; }

    public string? Trouble { get; init; }

    public IReadOnlyList<PlanMadeAnswer> Made { get; init; } = [];

    public IReadOnlyList<LevelAnswer> Levels { get; init; } = [];

    public IReadOnlyList<AssignmentAnswer> Assignments { get; init; } = [];

    public IReadOnlyList<LeftoverAnswer> Leftovers { get; init; } = [];

    public IReadOnlyList<ShortageAnswer> Shortages { get; init; } = [];

    public IReadOnlyList<string> Reasons { get; init; } = [];

    public double? ChanceOfShort { get; init; }

    public IReadOnlyList<MeasureLotAnswer> Measure { get; init; } = [];

    public DateTimeOffset? AcceptedAt { get; init; }

    public static PlanAnswerBody Of(PlanView plan)
    {
        PlanResult? result = plan.Answer;
        PlanStep? step = plan.IsOpen ? plan.Pulse.Step : null;
        PlanLevel? first = result?.Levels is [{ } level, ..] ? level : null;
        (double? best, double? bound) = step is { Stage: not null } ? (step.Best, step.Bound) : (first?.Value, first?.Bound);
        return new()
        {
            Id = plan.Id,
            Number = plan.Number,
            Status = plan.Pulse.State,
            Result = result?.Status,
            Level = step?.Stage,
            Best = best,
            Bound = bound,
            Gap = best is { } value && bound is { } limit ? Gaps.Between(value, limit) : null,
            Trouble = plan.Trouble.Count > 0 ? string.Join(' ', plan.Trouble) : null,
            AcceptedAt = plan.AcceptedAt,
            ChanceOfShort = result is null ? null : Math.Round(result.ChanceOfShort, 4),
            Made = [.. (result?.Made ?? []).Select(each => new PlanMadeAnswer(each.Name, each.Count, each.Wanted, each.Covered, Math.Round(each.ChanceOfShort, 4), each.PieceId, each.WantedPieceId, each.ProjectId))],
            Levels = [.. (result?.Levels ?? []).Select(each => new LevelAnswer(each.Stage, each.Value, each.Bound, each.Gap is { } gap ? Math.Round(gap, 4) : null))],
            Assignments = [.. (result?.Assignments ?? []).Select(each => new AssignmentAnswer(each.Piece, each.Index, each.Part, each.Lot, GuildApi.Grams(each.Mg), Math.Round(each.Metres, 1)))],
            Leftovers = [.. (result?.Leftovers ?? []).Select(each => new LeftoverAnswer(each.Lot, GuildApi.Grams(each.Mg), ApiMetres.Low(each.Metres)!.Value, each.IsUsable))],
            Shortages = [.. (result?.Shortages ?? []).Select(each => new ShortageAnswer(each.Piece, each.Part, each.Missing, Math.Round(each.Metres, 1), each.Mg / 1000m, each.WeightClasses, each.Family))],
            Reasons = [.. (result?.Reasons ?? []).Select(each => each.Sentence.ToString())],
            Measure = [.. (result?.Measure ?? []).Select(each => new MeasureLotAnswer(each.Lot, Math.Round(each.PiecesSaved, 4), Math.Round(each.ChanceThen, 4), Math.Round(each.MetresInDoubt, 1)))],
        };
    }
}

/// <summary>How far a value is from its bound.</summary>
internal static class Gaps
{
    /// <returns>0 to 1, rounded to four places.</returns>
    public static double Between(double value, double bound)
    {
        double larger = Math.Max(Math.Abs(value), Math.Abs(bound));
        return larger == 0 ? 0 : Math.Round(Math.Abs(bound - value) / larger, 4);
    }
}

/// <summary>Plans of the guild's own lots, as jobs.</summary>
internal static class PlanEndpoints
{
    public static void MapPlans(this RouteGroupBuilder api)
    {
        RouteGroupBuilder plans = api.MapGroup("/plans").WithTags("Planning");
        plans.MapPost("", AskAsync).WithSummary("Ask for a plan of the guild's free yarn; a job seeks it.").Produces<AskedPlanAnswer>(StatusCodes.Status202Accepted);
        plans.MapGet("/{id:guid}", ReadAsync).WithSummary("How far a plan is, and the best answer so far.").Produces<PlanAnswerBody>();
        plans.MapPost("/{id:guid}/accept", AcceptAsync).WithSummary("Turn a plan into kits whose yarn is held; all of it or nothing.").Produces<AcceptedPlanAnswer>();
    }

    private static async Task<IResult> AskAsync(Body<PlanBody> body, ClaimsPrincipal me, AskPlan ask, CancellationToken cancellation)
    {
        Outcome<PlanRequest> read = PlanFields.Read(body.Value);
        Outcome<AskedPlan> asked = read.IsOk ? await ask.RunAsync(me.Id(), read.Value, cancellation) : Outcome<AskedPlan>.Refused(read.Refusals);
        return asked.Answer(plan => TypedResults.Accepted($"{GuildApi.Root}/plans/{plan.Id}", new AskedPlanAnswer(plan.Id, plan.Number, plan.State)));
    }

    private static async Task<IResult> ReadAsync(Guid id, ClaimsPrincipal me, PlanReader reader, CancellationToken cancellation) =>
        (await reader.OneAsync(me.Id(), id, cancellation)).Answer(plan => TypedResults.Ok(PlanAnswerBody.Of(plan)));

    private static async Task<IResult> AcceptAsync(Guid id, Body<AcceptBody> body, ClaimsPrincipal me, AcceptPlan accept, CancellationToken cancellation)
    {
        AcceptBody sent = body.Value;
        Dictionary<string, int> kinds = (sent.Kinds ?? []).Where(each => each is { Piece: not null, PiecesInKit: not null }).DistinctBy(each => each!.Piece).ToDictionary(each => each!.Piece!, each => each!.PiecesInKit!.Value);
        Outcome<AcceptedPlan> accepted = await accept.RunAsync(me.Id(), id, new(sent.PiecesInKit ?? 1, kinds, sent.Days), cancellation);
        return accepted.Answer(plan => TypedResults.Ok(new AcceptedPlanAnswer(
            plan.Id, plan.Number, [.. plan.Kits.Select(kit => new PlanKitAnswer(kit.Id, kit.Number, kit.RequestNumber, kit.PieceName, kit.Pieces))])));
    }
}
