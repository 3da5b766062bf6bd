using GuildStash.Domain.Colours;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Planning;

public enum PlanStatus
{
    /// <summary>No piece can be made, or none was found; the reasons say why.</summary>
    None = 0,

    /// <summary>A plan, but a better one is not ruled out in every stage.</summary>
    Feasible = 1,

    /// <summary>Every stage is proven: there is no better plan.</summary>
    Optimal = 2,
}

/// <summary>A stage with what it came to.</summary>
/// <param name="Value">Priority points, lots and joins, grams, points of colour, or wishes; see <see cref="PlanStage"/>.</param>
/// <param name="Bound">What it can't be better than, given the values of the stages before; null where nothing is proven.</param>
/// <param name="Gap">Distance of value and bound over the larger of both, 0 to 1; null without a bound.</param>
public sealed record PlanLevel(PlanStage Stage, double Value, double? Bound, double? Gap)
{
    public bool IsProven => Gap == 0;
}

/// <param name="Piece">Name of the piece.</param>
/// <param name="ChanceOfShort">Probability that one of these pieces, picked at random, runs short of its yarn; 0 where none is made.</param>
public sealed record PiecesMade(string Piece, int Count, int Wanted, double ChanceOfShort);

/// <summary>Yarn of one lot for one part of one piece.</summary>
/// <param name="Index">Number of the piece among its kind, from 1.</param>
/// <param name="Mass">To weigh out, rounded up to the milligram.</param>
/// <param name="Length">Of all strands together, at the plan's safety.</param>
public sealed record Assignment(string Piece, int Index, string Part, string Lot, Mass Mass, Length Length);

/// <summary>What stays of an opened lot.</summary>
/// <param name="IsUsable">20 g or more.</param>
public sealed record Leftover(string Lot, Mass Mass, Length Length, bool IsUsable);

/// <summary>Yarn that is missing for the pieces that could not be made.</summary>
/// <param name="Pieces">How many are missing.</param>
/// <param name="Length">Of all strands of all of them; yarn that is left over is not set against it.</param>
/// <param name="Mass">About what that weighs in the thickest class asked for, at the class's low end of the trade's table; null where no class is named.</param>
/// <param name="Family">Null where the part names none.</param>
public sealed record Shortage(string Piece, string Part, int Pieces, Length Length, Mass? Mass, IReadOnlyList<WeightClass> WeightClasses, ColourFamily? Family);

/// <summary>Why something could not be made.</summary>
/// <param name="Rule">Stable key in kebab-case.</param>
/// <param name="Piece">Piece it is about; null for the whole plan.</param>
/// <param name="Part">Part it is about.</param>
public sealed record PlanReason(string Rule, string? Piece, string? Part, Phrase Sentence);

/// <summary>A lot whose length is worth measuring before the yarn is handed out.</summary>
/// <param name="PiecesSaved">Pieces that run short through this lot alone, on average: a measured lot shows it before the work begins.</param>
/// <param name="ChanceThen">Chance that any piece of the plan runs short, if this lot's shortfall is seen and made good.</param>
/// <param name="InDoubt">Length of the plan's yarn of this lot, likely less reckoned: what measuring may free.</param>
public sealed record MeasureAdvice(string Lot, double PiecesSaved, double ChanceThen, Length InDoubt);

/// <summary>A plan and how good it is.</summary>
public sealed record PlanAnswer
{
    public required PlanStatus Status { get; init; }

    public required IReadOnlyList<PlanLevel> Levels { get; init; }

    /// <summary>Every kind of the problem, in its order.</summary>
    public required IReadOnlyList<PiecesMade> Made { get; init; }

    public required IReadOnlyList<Assignment> Assignments { get; init; }

    public required IReadOnlyList<Leftover> Leftovers { get; init; }

    public required IReadOnlyList<Shortage> Shortages { get; init; }

    /// <summary>At least one for each kind that is not made as often as wanted.</summary>
    public required IReadOnlyList<PlanReason> Reasons { get; init; }

    /// <summary>Probability that at least one piece of the plan runs short, from seeded draws of the lots' errors.</summary>
    public required double ChanceOfShort { get; init; }

    /// <summary>How many pieces run short on average.</summary>
    public required double PiecesShort { get; init; }

    /// <summary>Lots worth measuring, the most useful first; at most five.</summary>
    public required IReadOnlyList<MeasureAdvice> Measure { get; init; }

    /// <summary>The plan was stopped before its time.</summary>
    public bool IsStopped { get; init; }

    public int Count => Made.Sum(each => each.Count);
}
