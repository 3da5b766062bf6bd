using GuildStash.Domain.Colours;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Wraps counted around a rod.</summary>
/// <param name="Count">Wraps touching each other.</param>
/// <param name="Inches">Length over which they were counted.</param>
/// <param name="Repeats">Counts of further tries over the same length.</param>
public sealed record WrapsInput(decimal? Count = null, decimal? Inches = null, IReadOnlyList<decimal>? Repeats = null);

/// <summary>What the band says.</summary>
public sealed record BandInput(decimal? Metres = null, decimal? Grams = null);

/// <summary>A piece that was measured and weighed.</summary>
/// <param name="DivisionGrams">Smallest step of the scale; empty counts as exact.</param>
/// <param name="ErrorMetres">Its length is right within ± this; empty: within 1 %.</param>
/// <param name="IsDifference">Its mass is the difference of two readings, with it and without it.</param>
public sealed record SampleInput(decimal? Metres = null, decimal? Grams = null, decimal? DivisionGrams = null, decimal? ErrorMetres = null, bool IsDifference = false);

/// <summary>Stitches of stocking stitch.</summary>
/// <param name="PerCm">Width counted over; 10 when empty.</param>
public sealed record GaugeInput(decimal? Stitches = null, decimal? PerCm = null);

public sealed record FibreInput(string? Code = null, decimal? Percent = null);

/// <summary>A lot as it is entered at the table. Everything but the mass may stay unknown.</summary>
public sealed record LotInput
{
    /// <summary>Net grams, core already taken off; empty only together with <see cref="MassUnknown"/>.</summary>
    public decimal? Grams { get; init; }

    public bool MassUnknown { get; init; }

    /// <summary>Balls with their band on, which count by the band's grams and length and are not weighed; the grams are then of what is loose.</summary>
    public int? WholeBalls { get; init; }

    /// <summary>Nothing of it was weighed: only whole balls.</summary>
    internal bool IsCountedOnly => WholeBalls is > 0 && Grams is null or 0;

    /// <summary>Smallest step of the scale in grams; empty counts as exact.</summary>
    public decimal? ScaleDivisionGrams { get; init; }

    /// <summary>The scale of the register that it was weighed on; null where that is not known.</summary>
    public Guid? ScaleId { get; init; }

    /// <summary>Grams of a cone's core, taken off the grams given.</summary>
    public decimal? CoreTareGrams { get; init; }

    public PutUp PutUp { get; init; }

    public int? Count { get; init; }

    public WeightClass? WeightClass { get; init; }

    public WrapsInput? Wraps { get; init; }

    public BandInput? Band { get; init; }

    public SampleInput? Sample { get; init; }

    /// <summary>The spinner's count with its system, for instance "Nm 2/28".</summary>
    public string? YarnCount { get; init; }

    /// <summary>What the number beside the plies of that count stands for.</summary>
    public CountNotation CountNotation { get; init; }

    /// <summary>Metres in 100 g that a band's name of thickness stands for, about; a count goes before it.</summary>
    public double? NamedMetresPer100g { get; init; }

    public GaugeInput? Gauge { get; init; }

    public IReadOnlyList<FibreInput> Fibres { get; init; } = [];

    public FibreBasis FibreBasis { get; init; }

    public Texture Texture { get; init; }

    public Softness Softness { get; init; }

    public Tristate MachineWashable { get; init; }

    public string? CareNotes { get; init; }

    /// <summary>°C, the warmest water the band allows.</summary>
    public int? MaxCelsius { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    /// <summary>#rrggbb.</summary>
    public string? ColourHex { get; init; }

    public bool Multicolour { get; init; }

    public string? DyeLot { get; init; }

    public string? Notes { get; init; }

    /// <summary>Empty: the sorting table, or the first quarantine bin for yarn that is kept apart.</summary>
    public string? BinCode { get; init; }
}
