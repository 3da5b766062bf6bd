using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning;

namespace GuildStash.Web.Features.Planning;

/// <summary>A plan's answer as it is kept; masses in milligrams, lengths in metres.</summary>
public sealed record PlanResult
{
    public PlanStatus Status { get; init; }

    /// <summary>Safety that was reckoned with, 0.5 to 0.99.</summary>
    public double Safety { get; init; }

    /// <summary>How many lots there were to plan with.</summary>
    public int LotsSeen { get; init; }

    public IReadOnlyList<PlanLevel> Levels { get; init; } = [];

    public IReadOnlyList<PlannedPiece> Made { get; init; } = [];

    public IReadOnlyList<PlannedYarn> Assignments { get; init; } = [];

    public IReadOnlyList<PlannedLeftover> Leftovers { get; init; } = [];

    public IReadOnlyList<PlannedShortage> Shortages { get; init; } = [];

    public IReadOnlyList<PlanReason> Reasons { get; init; } = [];

    /// <summary>Probability that at least one piece runs short.</summary>
    public double ChanceOfShort { get; init; }

    /// <summary>How many run short on average.</summary>
    public double PiecesShort { get; init; }

    public IReadOnlyList<PlannedMeasuring> Measure { get; init; } = [];

    /// <summary>Wanted pieces for which nothing was planned, since nobody has said what yarn they take.</summary>
    public IReadOnlyList<WantedGap> Unplanned { get; init; } = [];

    public int Count => Made.Sum(each => each.Count);

    public int Wanted => Made.Sum(each => each.Wanted);

    public int LotsOpened => Assignments.Select(each => each.Lot).Distinct().Count();

    /// <summary>The answer where all that is wanted lies in kits or is made, so that there was nothing to seek.</summary>
    public static PlanResult NothingMissing(ReadyPieces pieces, double safety) => new() { Status = PlanStatus.Optimal, Safety = safety, Unplanned = pieces.Unplanned };

    public static PlanResult Of(PlanAnswer answer, ReadyPieces pieces, double safety, int lots) => new()
    {
        Status = answer.Status,
        Safety = safety,
        LotsSeen = lots,
        Levels = answer.Levels,
        Made = [.. answer.Made.Zip(pieces.Pieces, (made, ready) => ready.Source with { Count = made.Count, Wanted = made.Wanted, ChanceOfShort = made.ChanceOfShort })],
        Assignments = [.. answer.Assignments.Select(each => new PlannedYarn(each.Piece, each.Index, each.Part, each.Lot, each.Mass.Milligrams, each.Length.Metres))],
        Leftovers = [.. answer.Leftovers.Select(each => new PlannedLeftover(each.Lot, each.Mass.Milligrams, each.Length.Metres, each.IsUsable))],
        Shortages = [.. answer.Shortages.Select(each => new PlannedShortage(each.Piece, each.Part, each.Pieces, each.Length.Metres, each.Mass?.Milligrams, each.WeightClasses, each.Family))],
        Reasons = answer.Reasons,
        ChanceOfShort = answer.ChanceOfShort,
        PiecesShort = answer.PiecesShort,
        Measure = [.. answer.Measure.Select(each => new PlannedMeasuring(each.Lot, each.PiecesSaved, each.ChanceThen, each.InDoubt.Metres))],
        Unplanned = pieces.Unplanned,
    };
}

/// <summary>A kind of piece in a plan, and what it stands for.</summary>
/// <param name="Name">As the plan names it, unique within it.</param>
/// <param name="Label">As people name it.</param>
/// <param name="Covered">How many of a wanted piece were in kits or made already when the search began.</param>
/// <param name="Asked">Its place in the ask; pieces that a project brought stand behind those that were named.</param>
public sealed record PlannedPiece(string Name, string Label, Guid? PieceId, Guid? WantedPieceId, Guid? ProjectId, string? ProjectName, int Covered, int Asked)
{
    /// <summary>Rules that its yarn meets, the recipient's among them.</summary>
    public RecipientRules Rules { get; init; }

    /// <summary>Rules of its parts beside those, by their names.</summary>
    public IReadOnlyDictionary<string, RecipientRules> PartRules { get; init; } = new Dictionary<string, RecipientRules>();

    public int Count { get; init; }

    public int Wanted { get; init; }

    /// <summary>Probability that one of them, picked at random, runs short.</summary>
    public double ChanceOfShort { get; init; }
}

/// <summary>Yarn of one lot for one part of one piece.</summary>
/// <param name="Index">Number of the piece among its kind, from 1.</param>
/// <param name="Metres">Of all strands together, at the plan's safety.</param>
public sealed record PlannedYarn(string Piece, int Index, string Part, string Lot, long Mg, double Metres);

public sealed record PlannedLeftover(string Lot, long Mg, double Metres, bool IsUsable);

public sealed record PlannedShortage(string Piece, string Part, int Missing, double Metres, long? Mg, IReadOnlyList<WeightClass> WeightClasses, ColourFamily? Family);

public sealed record PlannedMeasuring(string Lot, double PiecesSaved, double ChanceThen, double MetresInDoubt);

/// <summary>A lot as it was when the search began.</summary>
/// <param name="Mg">What was free of it.</param>
/// <param name="MetresPer100g">At the plan's safety.</param>
/// <param name="IsThere">False for a bag that nobody has given yet.</param>
public sealed record PlannedLot(
    Guid Id, string Code, long Mg, double MetresPer100g, WeightClass? WeightClass, ColourFamily? Family, string? Hex, string BinCode, string BinName, bool IsThere = true);

/// <summary>How far a search is.</summary>
/// <param name="Stage">Null while it waits for its turn or reads the room.</param>
/// <param name="Best">Value of the stage so far.</param>
/// <param name="Bound">What it can't be better than; null where nothing is proven.</param>
/// <param name="Answers">How many better answers were kept so far; whoever shows one looks anew when this grows.</param>
public sealed record PlanStep(PlanStage? Stage, double Best, double? Bound, int Answers);

/// <summary>A wanted piece of which nobody has said what yarn it takes.</summary>
public sealed record WantedGap(Guid ProjectId, string Project, Guid WantedPieceId, string Piece, int Wanted);
