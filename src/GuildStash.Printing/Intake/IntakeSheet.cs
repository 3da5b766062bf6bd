using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

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

    /// <summary>Insects or mould: the sheet says what to do with the bag, and has no lines for sorting.</summary>
    public bool StaysShut { get; init; }

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

    /// <summary>What the band says, each ball of this length and mass; null where there is none.</summary>
    public PrintedBand? Band { get; init; }

    /// <summary>Fibres with their basis, for instance "believed to be wool".</summary>
    public string? Fibres { get; init; }

    public PrintedWeightClass? WeightClass { get; init; }

    public PrintedLength? Length { get; init; }

    public string? BinCode { get; init; }
}

/// <summary>Length and mass of a ball as its band states them.</summary>
/// <param name="Metres">0 to 10,000 km.</param>
/// <param name="Grams">0 to 1,000 kg.</param>
public sealed record PrintedBand(double Metres, double Grams)
{
    /// <exception cref="ArgumentOutOfRangeException">Negative, above 10,000 km, or NaN.</exception>
    public double Metres { get; } = Guard.InRange(Metres, 0, 10_000_000, nameof(Metres));

    /// <exception cref="ArgumentOutOfRangeException">Negative, above 1,000 kg, or NaN.</exception>
    public double Grams { get; } = Guard.InRange(Grams, 0, 1_000_000, nameof(Grams));
}
