using System.ComponentModel;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Inventory;

/// <summary>A lot as the API answers it.</summary>
internal sealed record LotAnswer
{
    public required string Code { get; init; }

    public required Guid Id { get; init; }

    public required LotStatus Status { get; init; }

    [Description("In the room, quarantine included; null: not weighed yet.")]
    public decimal? Grams { get; init; }

    public decimal FreeGrams { get; init; }

    public decimal HeldGrams { get; init; }

    public decimal QuarantinedGrams { get; init; }

    public QuarantineReason? Quarantine { get; init; }

    public WeightClass? WeightClass { get; init; }

    [Description("What may be promised of the grams in the room, to 0.1 m downwards; null: not known.")]
    public double? MetresLow { get; init; }

    public double? MetresLikely { get; init; }

    public double? MetresHigh { get; init; }

    [Description("The same of the free grams.")]
    public double? FreeMetresLow { get; init; }

    [Description("In words what the length rests on; empty: nothing is known.")]
    public string Basis { get; init; } = "";

    public EstimateBasis BasisKey { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    public string? ColourHex { get; init; }

    public string ColourName { get; init; } = "";

    public bool Multicolour { get; init; }

    public string DyeLot { get; init; } = "";

    public IReadOnlyList<FibreInput> Fibres { get; init; } = [];

    public FibreBasis FibreBasis { get; init; }

    [Description("Null: not known.")]
    public bool? MachineWashable { get; init; }

    public Softness Softness { get; init; }

    public Texture Texture { get; init; }

    public IReadOnlyList<string> Conditions { get; init; } = [];

    public PutUp PutUp { get; init; }

    public int Count { get; init; }

    public required string BinCode { get; init; }

    public required string DonationNumber { get; init; }

    public int Bag { get; init; }

    public string Wishes { get; init; } = "";

    [Description("Balls with their band on that are probably left, each as long as its band says; null: none.")]
    public int? WholeBalls { get; init; }

    [Description("Degrees Celsius of the warmest water the band allows; null: not known.")]
    public int? MaxCelsius { get; init; }

    public string CareNotes { get; init; } = "";

    public string Notes { get; init; } = "";

    public DateTimeOffset SortedAt { get; init; }

    public static LotAnswer Of(LotView lot) => new()
    {
        Code = lot.Display,
        Id = lot.Id,
        Status = lot.Status,
        Grams = lot.OnHandMg is { } mg ? GuildApi.Grams(mg) : null,
        FreeGrams = GuildApi.Grams(lot.FreeMg),
        HeldGrams = GuildApi.Grams(lot.HeldMg),
        QuarantinedGrams = GuildApi.Grams(lot.QuarantinedMg),
        Quarantine = lot.QuarantineReason,
        WeightClass = lot.WeightClass,
        MetresLow = ApiMetres.Low(lot.MetresLow),
        MetresLikely = ApiMetres.Likely(lot.MetresLikely),
        MetresHigh = ApiMetres.High(lot.MetresHigh),
        FreeMetresLow = ApiMetres.Low(lot.FreeMetresLow),
        Basis = lot.BasisText,
        BasisKey = lot.EstimateBasis,
        ColourFamily = lot.ColourFamily,
        ColourHex = lot.ColourHex,
        ColourName = lot.ColourName,
        Multicolour = lot.Multicolour,
        DyeLot = lot.DyeLot,
        Fibres = lot.Fibres,
        FibreBasis = lot.FibreBasis,
        MachineWashable = lot.MachineWashable switch { Tristate.Yes => true, Tristate.No => false, _ => null },
        Softness = lot.Softness,
        Texture = lot.Texture,
        Conditions = ConditionRules.Keys(lot.Conditions),
        PutUp = lot.PutUp,
        Count = lot.Count,
        BinCode = lot.BinDisplay,
        DonationNumber = lot.DonationNumber,
        Bag = lot.BagOrdinal,
        Wishes = lot.Wishes,
        WholeBalls = lot.SealedBallsLeft,
        MaxCelsius = lot.MaxCelsius,
        CareNotes = lot.CareNotes,
        Notes = lot.Notes,
        SortedAt = lot.CreatedAt,
    };
}

/// <summary>Lengths of the API, to a tenth of a metre and never on the unsafe side.</summary>
internal static class ApiMetres
{
    private const double Tenths = 10;

    /// <summary>Keeps a whole tenth whole after arithmetic; far below anything a scale sees.</summary>
    private const double Slack = 1e-6;

    public static double? Low(double? metres) => metres is { } m ? Math.Floor((m * Tenths) + Slack) / Tenths : null;

    public static double? Likely(double? metres) => metres is { } m ? Math.Round(m * Tenths) / Tenths : null;

    /// <summary>Adding zero turns the negative zero that rounding up can leave into zero.</summary>
    public static double? High(double? metres) => metres is { } m ? (Math.Ceiling((m * Tenths) - Slack) / Tenths) + 0.0 : null;
}
