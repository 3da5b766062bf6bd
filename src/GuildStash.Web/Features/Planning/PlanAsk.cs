using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Planning;

/// <summary>What a plan was asked, as it is kept with it. Lots and needs are read when the search begins, so that the same ask can be sought again later.</summary>
public sealed record PlanAsk
{
    public const double UsualSeconds = 20;
    public const double MostSeconds = 600;

    public IReadOnlyList<AskedPiece> Pieces { get; init; } = [];

    /// <summary>Projects all of whose wanted pieces are asked for, beside <see cref="Pieces"/>.</summary>
    public IReadOnlyList<Guid> Projects { get; init; } = [];

    /// <summary>Every open project's pieces; nothing else is then asked for.</summary>
    public bool AllProjects { get; init; }

    public LotChoice Lots { get; init; } = new();

    /// <summary>Probability with which each lot is as long as reckoned, 0.5 to 0.99; the guild's when null.</summary>
    public double? Safety { get; init; }

    /// <summary>0.1 to 600.</summary>
    public double Seconds { get; init; } = UsualSeconds;

    /// <summary>With a number the same room gives the same plan.</summary>
    public int? Seed { get; init; }

    /// <summary>Working time of all pieces together.</summary>
    public int? MinutesLimit { get; init; }

    /// <summary>Codes of bins that one wishes to empty.</summary>
    public IReadOnlyList<string> EmptyBins { get; init; } = [];

    /// <summary>Whether yarn that has lain long goes first where nothing else decides.</summary>
    public bool OldestFirst { get; init; }

    /// <summary>Bags that are not there: what if somebody gave them. A plan with one can't be accepted.</summary>
    public IReadOnlyList<AskedBag> Bags { get; init; } = [];
}

/// <summary>Which free lots a plan may take; an empty list takes all.</summary>
public sealed record LotChoice
{
    public IReadOnlyList<WeightClass> WeightClasses { get; init; } = [];

    public IReadOnlyList<ColourFamily> ColourFamilies { get; init; } = [];

    /// <summary>Codes of bins.</summary>
    public IReadOnlyList<string> Bins { get; init; } = [];

    /// <summary>Codes of fibres of which a lot has at least one.</summary>
    public IReadOnlyList<string> Fibres { get; init; } = [];

    /// <summary>True: machine-washable ones only.</summary>
    public bool Washable { get; init; }

    /// <summary>Lots on which any of these was noted are left out.</summary>
    public Conditions WithoutConditions { get; init; }
}

/// <summary>A kind of piece: a line of the piece book, a piece that a project wants, or one that is told with its parts.</summary>
public sealed record AskedPiece
{
    public Guid? PieceId { get; init; }

    public Guid? WantedPieceId { get; init; }

    /// <summary>For a piece that is told with its parts.</summary>
    public string? Name { get; init; }

    public IReadOnlyList<AskedPart> Parts { get; init; } = [];

    /// <summary>How many; a wanted piece without a number is asked for as often as it is still missing.</summary>
    public int? Wanted { get; init; }

    /// <summary>What if: so many beyond that.</summary>
    public int More { get; init; }

    /// <summary>What one counts, 1 to 1,000; the project's, or 1, when null.</summary>
    public int? Priority { get; init; }

    /// <summary>Rules beside the recipient's.</summary>
    public RecipientRules Rules { get; init; }

    /// <summary>What if: rules that are lifted, whoever asks them.</summary>
    public RecipientRules WithoutRules { get; init; }

    /// <summary>Working time of one; the piece book's when null.</summary>
    public int? Minutes { get; init; }

    /// <summary>A family for all parts that don't ask for several colours.</summary>
    public ColourFamily? Family { get; init; }

    /// <summary>A colour to come near to, as hex.</summary>
    public string? ColourHex { get; init; }
}

/// <summary>A part as the piece book keeps it; see <see cref="PiecePart"/>.</summary>
public sealed record AskedPart
{
    public required string Name { get; init; }

    public double MetresLow { get; init; }

    public double MetresLikely { get; init; }

    public double MetresSafe { get; init; }

    public IReadOnlyList<WeightClass> WeightClasses { get; init; } = [];

    public double? WindowLow { get; init; }

    public double? WindowHigh { get; init; }

    public int Strands { get; init; } = 1;

    public string Colour { get; init; } = "any";

    public string? ColourHex { get; init; }

    public RecipientRules Rules { get; init; }

    public IReadOnlyList<string> OnlyFibres { get; init; } = [];

    public int MaxLots { get; init; } = 1;

    public bool DyeLotsMayMix { get; init; } = true;

    public static AskedPart Of(PiecePart part) => new()
    {
        Name = part.Name,
        MetresLow = part.MetresLow,
        MetresLikely = part.MetresLikely,
        MetresSafe = part.MetresSafe,
        WeightClasses = part.WeightClasses,
        WindowLow = part.WindowLow,
        WindowHigh = part.WindowHigh,
        Strands = part.Strands,
        Colour = part.Colour,
        ColourHex = part.ColourHex,
        Rules = part.Rules,
        OnlyFibres = part.OnlyFibres,
        MaxLots = part.MaxLots,
        DyeLotsMayMix = part.DyeLotsMayMix,
    };
}

/// <summary>A bag that somebody might give.</summary>
/// <param name="Grams">More than 0, at most 25,000.</param>
/// <param name="Fibre">Code of the one fibre it consists of; null where nobody knows.</param>
public sealed record AskedBag(decimal Grams, WeightClass WeightClass, ColourFamily? Family, string? Fibre);
