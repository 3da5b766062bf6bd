namespace GuildStash.Printing;

/// <summary>What hangs on a kit. No person's name is on it.</summary>
public sealed record KitLabel
{
    /// <summary>For instance "K-2026-0007".</summary>
    public required string Number { get; init; }

    /// <summary>Where the code leads: the kit's page; see <see cref="QrLink.For"/>.</summary>
    public required string Url { get; init; }

    public required string Piece { get; init; }

    /// <summary>How many it suffices for, 1 and more.</summary>
    public required int Pieces { get; init; }

    /// <summary>Null: for no project.</summary>
    public string? Project { get; init; }

    /// <summary>Its yarn, one for each lot, in the order of its lines.</summary>
    public required IReadOnlyList<PrintedColour> Colours { get; init; }

    /// <summary>What is weighed out, or planned where it is not packed; 0 to 1,000 kg.</summary>
    public required long Milligrams { get; init; }

    public required int Lots { get; init; }

    public bool IsPacked { get; init; }

    /// <summary>Fibres with their basis, and what is known of washing: "believed to be wool; hand wash". Null prints none.</summary>
    public string? Care { get; init; }
}
