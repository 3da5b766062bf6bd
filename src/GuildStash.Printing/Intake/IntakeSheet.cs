using GuildStash.Domain.Intake;

namespace GuildStash.Printing;

/// <summary>
/// What the sheet of one bag says. Sentences (conditions, cautions, quarantine) come in the reader's language;
/// masses are milligrams, 0 to 1,000 kg.
/// </summary>
public sealed record IntakeSheet
{
    public required string GuildName { get; init; }

    /// <summary>Number of the intake, for instance "D-2026-0042".</summary>
    public required string DonationNumber { get; init; }

    /// <summary>Which bag of the intake this is, 1 to <see cref="BagCount"/>.</summary>
    public required int BagOrdinal { get; init; }

    public required int BagCount { get; init; }

    public required IntakeKind Kind { get; init; }

    public required DateOnly ReceivedOn { get; init; }

    /// <summary>Name to print, or null for a donor who wished no name.</summary>
    public string? DonorName { get; init; }

    public string? Wishes { get; init; }

    public IReadOnlyList<string> Conditions { get; init; } = [];

    public IReadOnlyList<string> Cautions { get; init; } = [];

    public required long GrossMilligrams { get; init; }

    public required long TareMilligrams { get; init; }

    /// <summary>What went into lots so far, those that have left the room included; null adds up the lots shown.</summary>
    public long? SortedMilligrams { get; init; }

    /// <summary>Why the bag lies in quarantine and until what; null when it does not.</summary>
    public string? Quarantine { get; init; }

    public string? Notes { get; init; }

    /// <summary>Lots already sorted from this bag, in the order in which they are to be printed.</summary>
    public IReadOnlyList<IntakeSheetLot> Lots { get; init; } = [];

    /// <summary>Where the code leads: the bag's page; see <see cref="QrLink.For"/>.</summary>
    public required string BagUrl { get; init; }

    /// <summary>Lines left to fill by hand, at least; the last page is always filled up with more. 0 to 200.</summary>
    public int BlankLines { get; init; } = 14;
}

/// <summary>One sorted lot on the intake sheet. Texts come in the reader's language; what is not known is null.</summary>
public sealed record IntakeSheetLot
{
    /// <summary>Lot code as people read it, for instance "K7M4-P9U".</summary>
    public required string Code { get; init; }

    public required PrintedColour Colour { get; init; }

    /// <summary>Ball, skein, hank, …</summary>
    public string? PutUp { get; init; }

    public int? Balls { get; init; }

    /// <summary>Milligrams; null when not weighed.</summary>
    public long? Milligrams { get; init; }

    /// <summary>Wraps and the length counted over, for instance "13 / 1 in".</summary>
    public string? Wraps { get; init; }

    /// <summary>Metres and grams on the band, for instance "200 m / 50 g".</summary>
    public string? Band { get; init; }

    /// <summary>Fibres with their basis, for instance "believed to be wool".</summary>
    public string? Fibres { get; init; }

    public PrintedWeightClass? WeightClass { get; init; }

    public PrintedLength? Length { get; init; }

    public string? BinCode { get; init; }
}
