namespace GuildStash.Printing;

/// <summary>What hangs on a lot. Texts come in the reader's language; what is not known is null.</summary>
public sealed record LotLabel
{
    /// <summary>Lot code as people read it, for instance "K7M4-P9U".</summary>
    public required string Code { get; init; }

    /// <summary>Where the code leads: the lot's page; see <see cref="QrLink.For"/>.</summary>
    public required string Url { get; init; }

    public required PrintedColour Colour { get; init; }

    public PrintedWeightClass? WeightClass { get; init; }

    public PrintedLength? Length { get; init; }

    /// <summary>Milligrams, 0 to 1,000 kg; null when not weighed.</summary>
    public long? Milligrams { get; init; }

    /// <summary>Weighed on scales verified for trade; otherwise the label says that its mass is for internal use.</summary>
    public bool IsForTrade { get; init; }

    /// <summary>How many pieces it is of, for instance "3 balls"; null for one. Left out where the label has no room for it.</summary>
    public string? Pieces { get; init; }

    /// <summary>Fibres with their basis, for instance "believed to be wool".</summary>
    public string? Fibres { get; init; }

    public string? BinCode { get; init; }

    /// <summary>Code of the old label that this one takes the place of, as people read it; null where it is no such label.</summary>
    public string? Formerly { get; init; }

    /// <summary>Kept apart until an inspection: the label says so, so that nobody puts the lot on an open shelf.</summary>
    public bool IsQuarantined { get; init; }
}
