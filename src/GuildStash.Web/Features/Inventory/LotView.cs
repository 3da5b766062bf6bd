using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Where a lot stands, in one word.</summary>
public enum LotStatus
{
    /// <summary>Some of it is free.</summary>
    Available = 0,

    /// <summary>On hand, but all of it is promised.</summary>
    Reserved = 1,

    /// <summary>All of it is kept apart.</summary>
    Quarantined = 2,

    /// <summary>Visible, not reservable: nobody weighed it yet.</summary>
    Unweighed = 3,

    /// <summary>Nothing of it is in the room; leftovers that come back open it again.</summary>
    Closed = 4,
}

/// <summary>A lot as pages, papers and the API show it; masses in milligrams, lengths in metres.</summary>
public sealed record LotView
{
    public required Guid Id { get; init; }

    public required string Code { get; init; }

    public required LotStatus Status { get; init; }

    public required int Version { get; init; }

    public required Guid BagId { get; init; }

    public required int BagOrdinal { get; init; }

    public required Guid DonationId { get; init; }

    public required string DonationNumber { get; init; }

    /// <summary>Net weight of its bag at the door.</summary>
    public long BagNetMg { get; init; }

    /// <summary>Day in the guild's zone on which the gift came in.</summary>
    public DateOnly ReceivedOn { get; init; }

    public string Wishes { get; init; } = "";

    public required string BinCode { get; init; }

    public required string BinName { get; init; }

    /// <summary>Null: not weighed yet.</summary>
    public long? OnHandMg { get; init; }

    public long FreeMg { get; init; }

    public long HeldMg { get; init; }

    public long QuarantinedMg { get; init; }

    public QuarantineReason? QuarantineReason { get; init; }

    /// <summary>Something was asked for it that another person has to approve.</summary>
    public bool AwaitsSecondPerson { get; init; }

    /// <summary>Code of the lot into which all of this one went; null where it is a lot of its own.</summary>
    public string? MergedIntoCode { get; init; }

    public WeightClass? WeightClass { get; init; }

    public double? MetresPer100gLow { get; init; }

    public double? MetresPer100gLikely { get; init; }

    public double? MetresPer100gHigh { get; init; }

    /// <summary>Of what is on hand, with the weighing error; null while mass, class and evidence are unknown.</summary>
    public double? MetresLow { get; init; }

    public double? MetresLikely { get; init; }

    public double? MetresHigh { get; init; }

    /// <summary>Of what is free.</summary>
    public double? FreeMetresLow { get; init; }

    public EstimateBasis EstimateBasis { get; init; }

    /// <summary>English template and arguments; localised where it is shown.</summary>
    public string BasisText { get; init; } = "";

    /// <summary>The estimate's sentence, for pages; the text alone travels through stored answers.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public Phrase? Basis { get; init; }

    public ColourFamily? ColourFamily { get; init; }

    public string? ColourHex { get; init; }

    /// <summary>English name of the picked colour, for instance "greyish blue"; empty when none was picked.</summary>
    public string ColourName { get; init; } = "";

    public bool Multicolour { get; init; }

    public string DyeLot { get; init; } = "";

    public IReadOnlyList<FibreInput> Fibres { get; init; } = [];

    public FibreBasis FibreBasis { get; init; }

    public Tristate MachineWashable { get; init; }

    public Softness Softness { get; init; }

    public Texture Texture { get; init; }

    public Conditions Conditions { get; init; }

    public PutUp PutUp { get; init; }

    public int Count { get; init; }

    public WeightClass? AssertedClass { get; init; }

    public WrapsInput? Wraps { get; init; }

    public BandInput? Band { get; init; }

    public SampleInput? Sample { get; init; }

    public string YarnCount { get; init; } = "";

    /// <summary>What the number beside the plies of that count stands for.</summary>
    public CountNotation CountNotation { get; init; }

    /// <summary>Metres in 100 g that a band's name of thickness stands for, about.</summary>
    public double? NamedMetresPer100g { get; init; }

    public GaugeInput? Gauge { get; init; }

    public long? ScaleDivisionMg { get; init; }

    /// <summary>All of its mass was weighed on scales verified for trade.</summary>
    public bool WeighedForTrade { get; init; }

    public long? CoreTareMg { get; init; }

    /// <summary>Balls with their band on, each as long as its band says; null where there are none.</summary>
    public int? SealedBalls { get; init; }

    /// <summary>What of <see cref="OnHandMg"/> is loose beside them, as far as is known.</summary>
    public long? LooseMg { get; init; }

    /// <summary>How many of them are probably left.</summary>
    public int? SealedBallsLeft { get; init; }

    public string CareNotes { get; init; } = "";

    /// <summary>°C, the warmest water the band allows.</summary>
    public int? MaxCelsius { get; init; }

    public string Notes { get; init; } = "";

    public DateTimeOffset CreatedAt { get; init; }

    /// <summary>What it is good for in the pieces of the project that was asked for; empty where none was.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public IReadOnlyList<SuitedPiece> Suits { get; init; } = [];

    /// <summary>The code in groups, for people.</summary>
    public string Display => LotCode.Parse(Code).Value.Display;

    public string BinDisplay => Domain.Codes.BinCode.Parse(BinCode).Value.Display;
}

/// <summary>Reads lots for showing, one query a page.</summary>
public static class LotViews
{
    internal sealed record Row(Lot Lot, string BinCode, string BinName, string DonationNumber, string Wishes, int BagOrdinal, long BagNetMg, DateOnly ReceivedOn, bool AwaitsSecondPerson, string? MergedIntoCode);

    internal static IQueryable<Row> Rows(IQueryable<Lot> lots) =>
        lots.AsNoTracking().Select(l => new Row(l, l.Bin.Code, l.Bin.Name, l.Donation.Number, l.Donation.Wishes, l.Bag.Ordinal, l.Bag.GrossMg - l.Bag.TareMg, l.Donation.ReceivedOn,
            l.Approvals.Any(a => a.Approval.State == ApprovalState.Waiting), l.MergedInto == null ? null : l.MergedInto.Code));

    public static async Task<LotView?> ByIdAsync(Act act, Guid lotId) =>
        await Rows(act.Db.Lots.Where(l => l.Id == lotId)).SingleOrDefaultAsync(act.Cancellation) is { } row ? From(row, act.Yardage) : null;

    /// <summary>The lot of that code, or a sentence: a mistyped code is told apart from one that does not exist.</summary>
    public static async Task<Outcome<LotView>> ByCodeAsync(Act act, string? typed)
    {
        Outcome<LotCode> code = LotCode.Parse(typed ?? "");
        if (!code.IsOk)
        {
            return new Refusal("not-found", RefusalKind.NotFound, code.Refusal.Sentence, "lotCode");
        }

        string value = code.Value.Value;
        Row? row = await Rows(act.Db.Lots.Where(l => l.Code == value)).SingleOrDefaultAsync(act.Cancellation);
        return row is null ? Refusal.NotFound("There is no lot {0}. Check the label.", code.Value.Display) : From(row, act.Yardage);
    }

    internal static LotView From(Row row, YardageRules rules)
    {
        Lot lot = row.Lot;
        Phrase? basis = rules.Estimate(LotTraitsOf.Evidence(lot))?.Sentence;
        LengthRange? length = lot.MassKnown ? LotTraitsOf.LengthOf(lot, lot.OnHandMg) : null;
        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg;
        return new LotView
        {
            Id = lot.Id,
            Code = lot.Code,
            Status = StatusOf(lot, free),
            Version = lot.Version,
            BagId = lot.BagId,
            BagOrdinal = row.BagOrdinal,
            DonationId = lot.DonationId,
            DonationNumber = row.DonationNumber,
            BagNetMg = row.BagNetMg,
            ReceivedOn = row.ReceivedOn,
            Wishes = row.Wishes,
            BinCode = row.BinCode,
            BinName = row.BinName,
            OnHandMg = lot.MassKnown ? lot.OnHandMg : null,
            FreeMg = free,
            HeldMg = lot.HeldMg,
            QuarantinedMg = lot.QuarantinedMg,
            QuarantineReason = lot.QuarantineReason,
            AwaitsSecondPerson = row.AwaitsSecondPerson,
            MergedIntoCode = row.MergedIntoCode,
            WeightClass = lot.WeightClass,
            MetresPer100gLow = lot.MetresPer100gLow,
            MetresPer100gLikely = lot.MetresPer100gLikely,
            MetresPer100gHigh = lot.MetresPer100gHigh,
            MetresLow = length?.Low.Metres,
            MetresLikely = length?.Likely.Metres,
            MetresHigh = length?.High.Metres,
            FreeMetresLow = lot.MassKnown ? LotTraitsOf.LengthOf(lot, free)?.Low.Metres : null,
            EstimateBasis = lot.EstimateBasis,
            Basis = basis,
            BasisText = basis?.ToString() ?? "",
            ColourFamily = lot.ColourFamily,
            ColourHex = lot.ColourHex,
            ColourName = lot.ColourHex is { } hex ? ColourNames.Describe(Colour.Parse(hex).Value).Name : "",
            Multicolour = lot.Multicolour,
            DyeLot = lot.DyeLot,
            Fibres = [.. lot.FibreCodes.Select((code, i) => new FibreInput(code, i < lot.FibrePercents.Count ? lot.FibrePercents[i] : null))],
            FibreBasis = lot.FibreBasis,
            MachineWashable = lot.MachineWashable,
            Softness = lot.Softness,
            Texture = lot.Texture,
            Conditions = lot.Conditions,
            PutUp = lot.PutUp,
            Count = lot.Count,
            AssertedClass = lot.AssertedClass,
            Wraps = lot.WrapsCount is null ? null : new WrapsInput(lot.WrapsCount, lot.WrapsInches, lot.WrapsRepeats),
            Band = lot.BandMetres is null ? null : new BandInput((decimal)lot.BandMetres, lot.BandMg / 1000m),
            Sample = lot.SampleMetres is null ? null : new SampleInput((decimal)lot.SampleMetres, lot.SampleMg / 1000m, lot.SampleDivisionMg / 1000m, (decimal?)lot.SampleErrorMetres, lot.SampleIsDifference),
            YarnCount = lot.YarnCount,
            CountNotation = LotTraitsOf.Notation(lot),
            NamedMetresPer100g = lot.NamedMetresPer100g,
            Gauge = lot.GaugeStitches is null ? null : new GaugeInput(lot.GaugeStitches, lot.GaugeCm),
            ScaleDivisionMg = lot.ScaleDivisionMg,
            WeighedForTrade = lot.WeighedForTrade,
            CoreTareMg = lot.CoreTareMg,
            SealedBalls = lot.SealedBalls,
            SealedBallsLeft = lot.SealedBalls is null ? null : SealedInLot.Expected(lot, lot.OnHandMg),
            LooseMg = lot.SealedBalls is null ? null : lot.LooseMg,
            CareNotes = lot.CareNotes,
            MaxCelsius = lot.MaxCelsius,
            Notes = lot.Notes,
            CreatedAt = lot.CreatedAt,
        };
    }

    private static LotStatus StatusOf(Lot lot, long free) => lot switch
    {
        { ClosedAt: not null } => LotStatus.Closed,
        { QuarantineReason: not null } => LotStatus.Quarantined,
        { MassKnown: false } => LotStatus.Unweighed,
        _ when free > 0 => LotStatus.Available,
        _ when lot.HeldMg == 0 => LotStatus.Quarantined,
        _ => LotStatus.Reserved,
    };
}
