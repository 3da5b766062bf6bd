using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Relotting;

/// <summary>What is said of a lot's yarn, as far as it matters when lots become one.</summary>
public sealed record MergeTraits
{
    public required FibreContent Fibres { get; init; }

    public FibreBasis FibreBasis { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    /// <summary>#rrggbb; null where no colour was picked.</summary>
    public string? ColourHex { get; init; }

    public bool Multicolour { get; init; }

    public string DyeLot { get; init; } = "";

    public Tristate MachineWashable { get; init; }

    public Softness Softness { get; init; }

    public Conditions Conditions { get; init; }

    public PutUp PutUp { get; init; }

    public int Count { get; init; } = 1;

    public YarnEvidence Evidence { get; init; } = new();

    /// <summary>What the evidence says; null where it says nothing.</summary>
    public YardageEstimate? Estimate { get; init; }

    /// <summary>Milligrams; null counts as exact.</summary>
    public long? ScaleDivisionMg { get; init; }
}

/// <summary>One of the lots that are to become one, as the books have it.</summary>
public sealed record MergeLot
{
    /// <summary>The code for people.</summary>
    public required string Code { get; init; }

    public long OnHandMg { get; init; }

    /// <summary>In its own bin.</summary>
    public long InBinMg { get; init; }

    public bool IsClosed { get; init; }

    public bool IsWeighed { get; init; } = true;

    public bool IsInQuarantine { get; init; }

    /// <summary>Leftovers of it wait for an inspection.</summary>
    public bool HasReturnsWaiting { get; init; }

    /// <summary>Something else was asked for it that a second person has not decided yet.</summary>
    public bool AwaitsSecondPerson { get; init; }

    /// <summary>The donor's wishes for its gift.</summary>
    public string Wishes { get; init; } = "";

    public required MergeTraits Traits { get; init; }
}

/// <summary>Something on which lots differ and that becomes less certain, or less wide, when they are one; a person has to say yes to it.</summary>
/// <param name="Key">Stable key: dyeLot, colour, shade, fibres, fibreBasis, washable, softness, conditions, length, wishes.</param>
public sealed record Widening(string Key, Phrase Sentence);

/// <summary>What the lots are when they are one.</summary>
/// <param name="Widened">What a person has to say yes to, a sentence each.</param>
public sealed record MergedLot(MergeTraits Traits, IReadOnlyList<Widening> Widened);
