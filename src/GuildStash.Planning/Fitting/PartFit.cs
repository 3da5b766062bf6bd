using GuildStash.Domain.Colours;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Fitting;

/// <summary>A lot that fits a part.</summary>
/// <param name="Lot">Index of the lot.</param>
/// <param name="Strands">How often the worked length is taken from it: the part's strands times those that stand in for a thicker yarn.</param>
/// <param name="Reach">Worked decimetres that it is good for.</param>
/// <param name="Colour">Points by which its colour misses the wish; 0 without a wish.</param>
internal sealed record Candidate(int Lot, int Strands, long Reach, int Colour);

/// <summary>Lots of a part among which one slice must stay: all, or those of one family.</summary>
/// <param name="Family">Null for all families together, and for a lot of unknown family.</param>
/// <param name="Candidates">At least one.</param>
/// <param name="JoinSets">Indexes of candidates that may be joined within one slice: sets of two or more that share no lot.</param>
internal sealed record ShadeGroup(ColourFamily? Family, IReadOnlyList<Candidate> Candidates, IReadOnlyList<int[]> JoinSets);

/// <summary>A part with the lots that fit it. A piece takes one slice of it, or as many as its palette has families.</summary>
internal sealed class PartFit
{
    public required int Index { get; init; }

    /// <summary>Index of the piece.</summary>
    public required int Piece { get; init; }

    public required PlanPart Part { get; init; }

    /// <summary>Worked decimetres of one slice, rounded up.</summary>
    public required long Need { get; init; }

    public required int Slices { get; init; }

    /// <summary>Lots that one slice may take.</summary>
    public required int MostLots { get; init; }

    public required IReadOnlyList<ShadeGroup> Groups { get; init; }

    /// <summary>The part it must match or stand out from; null where it stands alone.</summary>
    public PartFit? Main { get; init; }

    public bool IsMatch => Part.Colour.Kind == ColourWishKind.Match;

    /// <summary>Whether families mixed in a piece count in the stage of colours.</summary>
    public bool CountsFamilies => Part.Colour.Kind == ColourWishKind.Any && MostLots > 1;

    /// <summary>Whether a slice from a group may stand beside the main part's slice from another.</summary>
    public bool GoesWith(ShadeGroup own, ShadeGroup main) => Main is null
        || (own.Family is { } a && main.Family is { } b && (IsMatch ? a == b : FamilyContrast.StandOut(a, b)));
}
