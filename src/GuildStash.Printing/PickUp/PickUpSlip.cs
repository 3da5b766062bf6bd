namespace GuildStash.Printing;

/// <summary>What a member takes home, and what the volunteer fetches for it.</summary>
public sealed record PickUpSlip
{
    public required string GuildName { get; init; }

    public required string SlipNumber { get; init; }

    public required string MemberName { get; init; }

    public string? ProjectName { get; init; }

    /// <summary>Day on which the yarn or the piece is due back; null when none was agreed.</summary>
    public DateOnly? DueOn { get; init; }

    /// <summary>Day until which all of it is kept for the member; null when that is not known.</summary>
    public DateOnly? KeptUntil { get; init; }

    /// <summary>All of its lots were weighed on scales verified for trade; otherwise the slip says that its weights are for internal use.</summary>
    public bool IsForTrade { get; init; }

    /// <summary>Lots to fetch, in any order: they are printed in the order of their bins.</summary>
    public required IReadOnlyList<PickUpRow> Rows { get; init; }
}

/// <summary>One lot to fetch.</summary>
public sealed record PickUpRow
{
    /// <summary>Lot code as people read it, for instance "K7M4-P9U".</summary>
    public required string LotCode { get; init; }

    public required PrintedColour Colour { get; init; }

    public PrintedWeightClass? WeightClass { get; init; }

    /// <summary>Milligrams to take, 0 to 1,000 kg.</summary>
    public required long MilligramsToTake { get; init; }

    /// <summary>Length that surely is in the mass to take, metres; null when the lot's length is not known.</summary>
    public double? LowMetres { get; init; }

    public string? BinCode { get; init; }

    /// <summary>Where the code leads: the lot's page; null prints no code. See <see cref="QrLink.For"/>.</summary>
    public string? Url { get; init; }
}
