using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Planning.Problem;

/// <summary>Lengths per mass that a part takes, as an alternative to classes or beside them.</summary>
/// <param name="Low">Metres per 100 g, inclusive.</param>
/// <param name="High">Inclusive, at least <paramref name="Low"/>.</param>
public sealed record DensityWindow(double Low, double High)
{
    internal bool Holds(double metresPer100g) => metresPer100g >= Low && metresPer100g <= High;
}

/// <summary>A part of a piece: yarn of one kind.</summary>
public sealed record PlanPart
{
    /// <summary>Unique within the piece, case ignored.</summary>
    public required string Name { get; init; }

    /// <summary>Length of one strand; the plan reckons with its safe figure.</summary>
    public required LengthNeed Need { get; init; }

    /// <summary>Any of these; empty where only <see cref="Window"/> decides. Worsted with aran admits "worsted or aran", which also admits both.</summary>
    public IReadOnlyList<WeightClass> WeightClasses { get; init; } = [];

    /// <summary>Null admits every length per mass.</summary>
    public DensityWindow? Window { get; init; }

    /// <summary>Strands held together, 1 to 12; each takes the whole length.</summary>
    public int Strands { get; init; } = 1;

    public ColourWish Colour { get; init; } = ColourWish.Any;

    /// <summary>Rules of the part beside those of the piece.</summary>
    public RecipientRules Rules { get; init; }

    /// <summary>Codes of the fibres it may consist of; empty admits all, and yarn of unknown fibre only then.</summary>
    public IReadOnlyList<string> OnlyFibres { get; init; } = [];

    /// <summary>Lots that one piece may take for this part: 1 allows no join.</summary>
    public int MaxLots { get; init; } = 1;

    /// <summary>Whether joined lots may be of different dye lots.</summary>
    public bool DyeLotsMayMix { get; init; } = true;
}

/// <summary>A kind of piece and how many are wanted. Alike pieces are one number in the model, not copies.</summary>
public sealed record PlanPiece
{
    /// <summary>Of one kind; as many as a plan takes of all kinds together, so that a project can want no number that can't be planned.</summary>
    public const int MostWanted = 8_000;

    /// <summary>Unique within the problem, case ignored.</summary>
    public required string Name { get; init; }

    /// <summary>1 to <see cref="MostWanted"/>.</summary>
    public required int Wanted { get; init; }

    /// <summary>What one piece counts in the first stage: 1 to 1,000.</summary>
    public int Priority { get; init; } = 1;

    public IReadOnlyList<PlanPart> Parts { get; init; } = [];

    /// <summary>The recipient's rules.</summary>
    public RecipientRules Rules { get; init; }

    /// <summary>Working time of one piece in minutes; counts only where <see cref="PlanProblem.MinutesLimit"/> is set.</summary>
    public int Minutes { get; init; }
}

/// <summary>Lots, pieces and rules of a plan, checked.</summary>
public sealed class PlanProblem
{
    private PlanProblem(PlanInput input) => Input = input;

    public PlanInput Input { get; }

    public IReadOnlyList<PlanLot> Lots => Input.Lots;

    public IReadOnlyList<PlanPiece> Pieces => Input.Pieces;

    public StrandSubstitutes Substitutes => Input.Substitutes;

    public double Safety => Input.Safety;

    public int? MinutesLimit => Input.MinutesLimit;

    /// <returns>The problem, or a refusal for each value that can't be planned with; fields are those of the JSON API.</returns>
    public static Outcome<PlanProblem> Create(PlanInput input)
    {
        IReadOnlyList<Refusal> refusals = PlanInputRules.Check(input);
        return refusals.Count > 0 ? Outcome<PlanProblem>.Refused(refusals) : new PlanProblem(input);
    }
}

/// <summary>What a plan is asked with.</summary>
public sealed record PlanInput
{
    /// <summary>At most 5,000; none is allowed and answered with reasons.</summary>
    public IReadOnlyList<PlanLot> Lots { get; init; } = [];

    /// <summary>1 to 200 kinds, at most 8,000 pieces wanted together.</summary>
    public IReadOnlyList<PlanPiece> Pieces { get; init; } = [];

    /// <summary>Strands that stand in for a thicker yarn; none unless given.</summary>
    public StrandSubstitutes Substitutes { get; init; } = NoSubstitutes;

    /// <summary>Probability with which each lot is as long as reckoned: 0.5 takes the likely figure, 0.95 the low one. 0.5 to 0.99.</summary>
    public double Safety { get; init; } = 0.95;

    /// <summary>Working time of all pieces together; null sets no limit.</summary>
    public int? MinutesLimit { get; init; }

    public static StrandSubstitutes NoSubstitutes { get; } = StrandSubstitutes.Create([]).Value;
}
