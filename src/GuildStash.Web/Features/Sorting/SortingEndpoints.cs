using System.ComponentModel;
using System.Security.Claims;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Inventory;

namespace GuildStash.Web.Features.Sorting;

/// <summary>A lot as it comes out of a bag; everything but the mass may stay unknown.</summary>
internal sealed record LotBody
{
    [Description("Which bag of the gift, from 1; the first when left out.")]
    public int? Bag { get; init; }

    [Description("Net grams, or with coreTareGrams the whole cone's.")]
    public decimal? Grams { get; init; }

    [Description("true instead of grams where no scale is at hand.")]
    public bool? MassUnknown { get; init; }

    [Description("Balls with their band on: each counts as the band's grams and metres, whatever it weighs; grams are then of what is loose, and may be left out.")]
    public int? WholeBalls { get; init; }

    public decimal? ScaleDivisionGrams { get; init; }

    public decimal? CoreTareGrams { get; init; }

    public PutUp? PutUp { get; init; }

    public int? Count { get; init; }

    public WeightClass? WeightClass { get; init; }

    public WrapsInput? Wraps { get; init; }

    public BandInput? Band { get; init; }

    public SampleInput? Sample { get; init; }

    [Description("The spinner's count with its system, for instance Nm 2/28; \"count\" is the number of balls.")]
    public string? YarnCount { get; init; }

    [Description("What the number beside the plies stands for: singles, or resultant as for spun silk; singles when left out.")]
    public CountNotation? CountNotation { get; init; }

    [Description("Metres in 100 g that a band's name of thickness stands for, about; yarnCount goes before it.")]
    public double? NamedMetresPer100g { get; init; }

    public GaugeInput? Gauge { get; init; }

    public IReadOnlyList<FibreInput?>? Fibres { get; init; }

    public FibreBasis? FibreBasis { get; init; }

    public Texture? Texture { get; init; }

    public Softness? Softness { get; init; }

    public Tristate? MachineWashable { get; init; }

    public string? CareNotes { get; init; }

    [Description("Degrees Celsius of the warmest water the band allows.")]
    public int? MaxCelsius { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    public string? ColourHex { get; init; }

    public bool? Multicolour { get; init; }

    public string? DyeLot { get; init; }

    public string? Notes { get; init; }

    public string? BinCode { get; init; }

    public LotInput ToInput() => new()
    {
        Grams = Grams,
        MassUnknown = MassUnknown ?? false,
        WholeBalls = WholeBalls,
        ScaleDivisionGrams = ScaleDivisionGrams,
        CoreTareGrams = CoreTareGrams,
        PutUp = PutUp ?? default,
        Count = Count,
        WeightClass = WeightClass,
        Wraps = Wraps,
        Band = Band,
        Sample = Sample,
        YarnCount = YarnCount,
        CountNotation = CountNotation ?? default,
        NamedMetresPer100g = NamedMetresPer100g,
        Gauge = Gauge,
        Fibres = [.. (Fibres ?? []).Select(fibre => fibre ?? new FibreInput(null, null))],
        FibreBasis = FibreBasis ?? default,
        Texture = Texture ?? default,
        Softness = Softness ?? default,
        MachineWashable = MachineWashable ?? default,
        CareNotes = CareNotes,
        MaxCelsius = MaxCelsius,
        ColourFamily = ColourFamily,
        ColourHex = ColourHex,
        Multicolour = Multicolour ?? false,
        DyeLot = DyeLot,
        Notes = Notes,
        BinCode = BinCode,
    };
}

internal static class SortingEndpoints
{
    public static void MapSorting(this RouteGroupBuilder api) =>
        api.MapPost("/donations/{id:guid}/lots", AddAsync).WithTags("Sorting").WithSummary("Make a lot of what came out of a bag; volunteers.")
            .Produces<LotAnswer>(StatusCodes.Status201Created);

    private static async Task<IResult> AddAsync(Guid id, Body<LotBody> body, ClaimsPrincipal me, AddLot add, CancellationToken cancellation)
    {
        Outcome<LotView> lot = await add.RunAsync(me.Id(), id, body.Value.Bag ?? 1, body.Value.ToInput(), cancellation);
        return lot.Answer(made => TypedResults.Created($"{GuildApi.Root}/lots/{made.Code}", LotAnswer.Of(made)));
    }
}
