using System.Text.Json.Serialization;
using GuildStash.Domain.Colours;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Drafts;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A half-typed piece as it is kept.</summary>
public sealed record PieceDraft : IDraftForm
{
    private readonly PieceForm? _of;
    private Guid _requestId;

    [JsonConstructor]
    public PieceDraft()
    {
    }

    /// <param name="of">The form whose state this is; it takes a new name along.</param>
    public PieceDraft(PieceForm of) => _of = of;

    public Guid RequestId
    {
        get => _requestId;
        set
        {
            _requestId = value;
            _of?.RequestId = value;
        }
    }

    /// <summary>In which the figures were typed.</summary>
    public LengthUnit Unit { get; init; }

    public string? Name { get; init; }

    public PieceCraft Craft { get; init; }

    public bool ForInfants { get; init; }

    public decimal? Minutes { get; init; }

    public string? Notes { get; init; }

    /// <summary>Of the piece when the typing began; 0 for a new one.</summary>
    public int Version { get; init; }

    public IReadOnlyList<PartDraft> Parts { get; init; } = [];

    public PartDraft? TakenOut { get; init; }

    public int TakenOutAt { get; init; }

    /// <summary>The parts, and behind them the one that was taken out.</summary>
    [JsonIgnore]
    public IReadOnlyList<PartDraft> All => TakenOut is { } taken ? [.. Parts, taken] : Parts;

    /// <summary>The same as the beginning of another saving.</summary>
    public PieceDraft AsNew() => DraftState.Read<PieceDraft>(DraftState.Write(this))! with { RequestId = Guid.CreateVersion7() };
}

/// <summary>One part of a half-typed piece.</summary>
public sealed record PartDraft
{
    public string? Name { get; init; }

    /// <summary>Low, likely, safe, and the window of lengths.</summary>
    public IReadOnlyList<TypedFigure?> Figures { get; init; } = [];

    public Reckoning? Reckoning { get; init; }

    public required ReckonDraft Reckon { get; init; }

    public bool IsReckoning { get; init; }

    public IReadOnlyList<WeightClass> Classes { get; init; } = [];

    public decimal? Strands { get; init; }

    public ColourWishKind ColourKind { get; init; }

    public ColourFamily Family { get; init; }

    public decimal? Families { get; init; }

    /// <summary>Place among all parts of the one that it stands out from or matches; -1 for none.</summary>
    public int Other { get; init; }

    public string? Hex { get; init; }

    public RecipientRules Rules { get; init; }

    public IReadOnlyList<string> Fibres { get; init; } = [];

    public decimal? MaxLots { get; init; }

    public bool DyeLotsMayMix { get; init; }
}

/// <summary>What was typed to reckon a part's length.</summary>
/// <param name="Figures">Sizes and lengths in the form's own order.</param>
public sealed record ReckonDraft(IReadOnlyList<TypedFigure?> Figures, decimal? SwatchGrams, decimal? Stitches, Fabric Fabric, string? RowName, PieceSize? KeptRow);
