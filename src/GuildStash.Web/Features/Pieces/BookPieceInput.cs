using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A part as it is entered; what is left out is as for most parts.</summary>
public sealed record BookPartInput
{
    public string? Name { get; init; }

    /// <summary>Metres of one strand; low and likely together or neither.</summary>
    public double? MetresLow { get; init; }

    public double? MetresLikely { get; init; }

    /// <summary>What is planned with.</summary>
    public double? MetresSafe { get; init; }

    /// <summary>How the lengths were found. One that does not give them is not kept.</summary>
    public Reckoning? Reckoning { get; init; }

    public IReadOnlyList<WeightClass> WeightClasses { get; init; } = [];

    /// <summary>Metres to 100 g, both or neither.</summary>
    public double? WindowLow { get; init; }

    public double? WindowHigh { get; init; }

    public int? Strands { get; init; } = 1;

    /// <summary>any, oneLot, oneFamily, family:blue, palette:5, contrast:Body, match:Body.</summary>
    public string? Colour { get; init; }

    public string? ColourHex { get; init; }

    public RecipientRules Rules { get; init; }

    public IReadOnlyList<string> OnlyFibres { get; init; } = [];

    public int? MaxLots { get; init; } = 1;

    public bool DyeLotsMayMix { get; init; } = true;

    /// <summary>What would be entered to get this part.</summary>
    public static BookPartInput Of(BookPart part) => new()
    {
        Name = part.Name,
        MetresLow = part.IsExact ? null : part.MetresLow,
        MetresLikely = part.IsExact ? null : part.MetresLikely,
        MetresSafe = part.MetresSafe,
        Reckoning = part.Reckoning,
        WeightClasses = part.WeightClasses,
        WindowLow = part.Window?.Low,
        WindowHigh = part.Window?.High,
        Strands = part.Strands,
        Colour = part.Colour,
        ColourHex = part.ColourHex,
        Rules = part.Rules,
        OnlyFibres = part.OnlyFibres,
        MaxLots = part.MaxLots,
        DyeLotsMayMix = part.DyeLotsMayMix,
    };
}

/// <summary>A piece as it is entered.</summary>
public sealed record BookPieceInput
{
    public string? Name { get; init; }

    public PieceCraft Craft { get; init; }

    public bool ForInfants { get; init; }

    /// <summary>Working time of one; null where nobody knows.</summary>
    public int? Minutes { get; init; }

    public string? Notes { get; init; }

    public IReadOnlyList<BookPartInput> Parts { get; init; } = [];

    /// <summary>What would be entered to get this piece: to change one thing of it, or to copy it.</summary>
    public static BookPieceInput Of(BookPiece piece) => new()
    {
        Name = piece.Name,
        Craft = piece.Craft,
        ForInfants = piece.ForInfants,
        Minutes = piece.Minutes,
        Notes = piece.Notes,
        Parts = [.. piece.Parts.Select(BookPartInput.Of)],
    };
}
