using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A part of a piece as the book has it; lengths in metres of one strand.</summary>
/// <param name="Reckoning">How the length was found; null where it was entered as such.</param>
public sealed record BookPart(string Name, double MetresLow, double MetresLikely, double MetresSafe, Reckoning? Reckoning)
{
    public IReadOnlyList<WeightClass> WeightClasses { get; init; } = [];

    /// <summary>Metres to 100 g that are taken; null where classes alone decide.</summary>
    public (double Low, double High)? Window { get; init; }

    public int Strands { get; init; } = 1;

    /// <summary>As the JSON API writes it.</summary>
    public string Colour { get; init; } = "any";

    public string? ColourHex { get; init; }

    public RecipientRules Rules { get; init; }

    public IReadOnlyList<string> OnlyFibres { get; init; } = [];

    public int MaxLots { get; init; } = 1;

    public bool DyeLotsMayMix { get; init; } = true;

    /// <summary>Only the safe figure is known.</summary>
    public bool IsExact => MetresLow == MetresSafe;

    internal static BookPart Of(PiecePart part) => new(part.Name, part.MetresLow, part.MetresLikely, part.MetresSafe, ReckoningText.Read(part.Reckoning))
    {
        WeightClasses = part.WeightClasses,
        Window = part is { WindowLow: { } low, WindowHigh: { } high } ? (low, high) : null,
        Strands = part.Strands,
        Colour = part.Colour,
        ColourHex = part.ColourHex,
        Rules = part.Rules,
        OnlyFibres = part.OnlyFibres,
        MaxLots = part.MaxLots,
        DyeLotsMayMix = part.DyeLotsMayMix,
    };
}

/// <summary>A project that wants a piece of the book.</summary>
public sealed record PieceWish(Guid ProjectId, string Project, string Name, int Wanted, bool IsClosed);

/// <summary>A line of the piece book with all that it says.</summary>
public sealed record BookPiece
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public PieceCraft Craft { get; init; }

    public bool ForInfants { get; init; }

    public int? Minutes { get; init; }

    public string Notes { get; init; } = "";

    public IReadOnlyList<BookPart> Parts { get; init; } = [];

    public bool IsRetired { get; init; }

    public DateTimeOffset ChangedAt { get; init; }

    public int Version { get; init; }

    /// <summary>Projects that want it, open ones first, at most <see cref="MostWishes"/>.</summary>
    public IReadOnlyList<PieceWish> Wishes { get; init; } = [];

    public const int MostWishes = 50;

    /// <summary>Yarn for one piece at the safe figures, all strands of all parts together.</summary>
    public double SafeMetres => Parts.Sum(part => part.MetresSafe * part.Strands);
}

/// <summary>A line of the list of the piece book.</summary>
/// <param name="WantedByOpen">How many the open projects want together.</param>
public sealed record BookLine(BookPiece Piece, int WantedByOpen);
