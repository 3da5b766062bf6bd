namespace GuildStash.Printing;

/// <summary>What is fetched from the bins for one kit, or for several at once.</summary>
public sealed record KitPickList
{
    public required string GuildName { get; init; }

    /// <summary>What it is for: a kit's piece, a project or a plan; empty prints none.</summary>
    public string For { get; init; } = "";

    /// <summary>Numbers of the kits on the list.</summary>
    public required IReadOnlyList<string> Kits { get; init; }

    /// <summary>All of its lots were weighed on scales verified for trade; otherwise the list says that its weights are for internal use.</summary>
    public bool IsForTrade { get; init; }

    /// <summary>Lines to fetch, in any order: they are printed in the order of sites and bins.</summary>
    public required IReadOnlyList<KitPickRow> Rows { get; init; }
}

/// <summary>Yarn of one lot for a part of one kit.</summary>
public sealed record KitPickRow
{
    public required string KitNumber { get; init; }

    /// <summary>Part of the piece.</summary>
    public required string Part { get; init; }

    /// <summary>Lot code as people read it.</summary>
    public required string LotCode { get; init; }

    public required PrintedColour Colour { get; init; }

    public PrintedWeightClass? WeightClass { get; init; }

    /// <summary>Milligrams to take, 0 to 1,000 kg.</summary>
    public required long MilligramsToTake { get; init; }

    public required string BinCode { get; init; }

    /// <summary>Where the bin is; empty where there is one site only.</summary>
    public string Site { get; init; } = "";

    /// <summary>It lies on the table already: its box is ticked.</summary>
    public bool IsPicked { get; init; }

    /// <summary>Where the code leads: the lot's page. See <see cref="QrLink.For"/>.</summary>
    public required string Url { get; init; }
}
