using GuildStash.Domain.Bands;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Measuring;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Sorting;

/// <summary>A ball while it is typed in: the whole state of the row, so that it can be kept and taken up again.</summary>
public sealed record BallForm : IBandAnswers
{
    private const string OnTheBand = "On the band: ";

    /// <summary>Names this one saving, so that a repeated one does nothing.</summary>
    public Guid RequestId { get; set; } = Guid.CreateVersion7();

    /// <summary>The lot that is being corrected; null for a new one.</summary>
    public Guid? LotId { get; set; }

    /// <summary>Its code for people; null for a new one, and in drafts from before this was kept.</summary>
    public string? LotDisplay { get; set; }

    /// <summary>The version of that lot that the person saw.</summary>
    public int Version { get; set; }

    public ColourFamily? ChosenFamily { get; set; }

    public string? ColourHex { get; set; }

    public bool Multicolour { get; set; }

    public decimal? WrapsCount { get; set; }

    public decimal? WrapsInches { get; set; } = 1;

    public List<decimal?> WrapsRepeats { get; set; } = [];

    public decimal? Grams { get; set; }

    public bool MassUnknown { get; set; }

    /// <summary>Balls with their band on, which count by it; <see cref="Grams"/> are then what is loose.</summary>
    public decimal? WholeBalls { get; set; }

    public decimal? ScaleDivisionGrams { get; set; }

    /// <summary>The scale of the register that stands on this bench; null where it is none of them.</summary>
    public Guid? ScaleId { get; set; }

    public decimal? CoreTareGrams { get; set; }

    public PutUp PutUp { get; set; }

    public decimal? Count { get; set; } = 1;

    public Texture Texture { get; set; }

    public WeightClass? WeightClass { get; set; }

    /// <summary>What the band says, in <see cref="BandUnit"/>.</summary>
    public decimal? BandLength { get; set; }

    public LengthUnit BandUnit { get; set; }

    public decimal? BandGrams { get; set; }

    /// <summary>Length of a weighed sample, in <see cref="BandUnit"/>.</summary>
    public decimal? SampleLength { get; set; }

    public decimal? SampleGrams { get; set; }

    /// <summary>In <see cref="BandUnit"/>; the sample's length is right within ± this, empty within 1 %.</summary>
    public decimal? SampleError { get; set; }

    public bool SampleIsDifference { get; set; }

    /// <summary>Division of the scale that weighed the sample of a lot that is corrected; null: the ball's own scale.</summary>
    public decimal? SampleDivisionGrams { get; set; }

    public string? YarnCount { get; set; }

    /// <summary>The number beside the plies is of the whole yarn, as for spun silk.</summary>
    public bool CountIsResultant { get; set; }

    /// <summary>Metres in 100 g that a name on the band stands for, about.</summary>
    public double? NamedMetresPer100g { get; set; }

    /// <summary>Stitches to 10 cm.</summary>
    public decimal? GaugeStitches { get; set; }

    public List<FibreForm> Fibres { get; set; } = [new()];

    public FibreBasis FibreBasis { get; set; }

    /// <summary>Bin for yarn that is free; empty for the sorting table.</summary>
    public string? ShelfBin { get; set; }

    /// <summary>Bin for yarn that is kept apart; empty for the first quarantine bin.</summary>
    public string? QuarantineBin { get; set; }

    public Softness Softness { get; set; }

    public Tristate MachineWashable { get; set; }

    public string? CareNotes { get; set; }

    /// <summary>°C, the warmest water the band allows.</summary>
    public int? MaxCelsius { get; set; }

    public string? DyeLot { get; set; }

    public string? Notes { get; set; }

    /// <summary>The band as somebody copied it.</summary>
    public string BandWords { get; set; } = "";

    public PlyCountry? Country { get; set; }

    public CountSystem? System { get; set; }

    /// <summary>The family a person chose, else the picked colour's; multicolour where that is ticked.</summary>
    public ColourFamily? Family => Multicolour
        ? ColourFamily.Multicolour
        : ChosenFamily ?? (Colour.TryParse(ColourHex, out Colour colour) ? ColourNames.Describe(colour).Family : null);

    /// <summary>The picked colour's English name, for instance "greyish blue"; null while none is picked.</summary>
    public string? ColourName => Colour.TryParse(ColourHex, out Colour colour) ? ColourNames.Describe(colour).Name : null;

    /// <summary>A person's choice of family, which no picked colour changes any more.</summary>
    public void Choose(ColourFamily family) =>
        (Multicolour, ChosenFamily) = family == ColourFamily.Multicolour ? (true, ChosenFamily) : (false, family);

    /// <summary>Why this ball will be kept apart, or null when it may lie on an open shelf.</summary>
    public QuarantineReason? Quarantine(QuarantinePolicy policy, QuarantineReason? bag)
    {
        Outcome<FibreContent> fibres = FibreContent.Create(Filled().Select(f => new FibreShare(f.Code ?? "", f.Percent)));
        return ConditionRules.LotQuarantine(policy, bag, fibres.IsOk ? fibres.Value : FibreContent.Unknown);
    }

    /// <summary>
    /// The next ball out of the same bag: fibre, put-up, scale, bin and the way of measuring stay as before. A fibre that was seen on a band
    /// is that ball's alone: the next one's band may say something else, and project rules depend on it.
    /// </summary>
    public BallForm Next() => new()
    {
        WrapsInches = WrapsInches,
        ScaleDivisionGrams = ScaleDivisionGrams,
        ScaleId = ScaleId,
        CoreTareGrams = PutUp == PutUp.Cone ? CoreTareGrams : null,
        PutUp = PutUp,
        BandUnit = BandUnit,
        Fibres = FibreBasis == FibreBasis.BandSeen ? [new()] : [.. Fibres.Select(f => f with { })],
        FibreBasis = FibreBasis == FibreBasis.BandSeen ? FibreBasis.Unknown : FibreBasis,
        ShelfBin = ShelfBin,
        QuarantineBin = QuarantineBin,
    };

    /// <summary>The first ball at this bench: like the lot before it, if there is one.</summary>
    /// <param name="bench">The bag.</param>
    /// <param name="unit">Unit in which the person reads bands.</param>
    public static BallForm First(Bench bench, LengthUnit unit) =>
        (bench.Latest is [.., { } before] ? From(before).Next() : new BallForm()) with
        {
            BandUnit = unit,
            ScaleDivisionGrams = bench.ScaleDivisionMg / 1000m,
        };

    /// <summary>All that is known of a lot, to correct it or to enter it anew.</summary>
    public static BallForm From(LotView lot)
    {
        bool apart = lot.QuarantineReason is not null;
        return new()
        {
            LotId = lot.Id,
            LotDisplay = lot.Display,
            Version = lot.Version,
            ChosenFamily = lot.ColourFamily is ColourFamily.Multicolour ? null : lot.ColourFamily,
            ColourHex = lot.ColourHex,
            Multicolour = lot.Multicolour,
            WrapsCount = lot.Wraps?.Count,
            WrapsInches = lot.Wraps?.Inches ?? 1,
            WrapsRepeats = [.. lot.Wraps?.Repeats?.Select(r => (decimal?)r) ?? []],
            Grams = lot.OnHandMg is { } mg ? Loose(lot, mg + (lot.CoreTareMg ?? 0)) : null,
            WholeBalls = lot.SealedBallsLeft is > 0 and { } balls ? balls : null,
            MassUnknown = lot.OnHandMg is null,
            ScaleDivisionGrams = lot.ScaleDivisionMg / 1000m,
            CoreTareGrams = lot.CoreTareMg / 1000m,
            PutUp = lot.PutUp,
            Count = lot.Count,
            Texture = lot.Texture,
            WeightClass = lot.AssertedClass,
            BandUnit = LengthUnit.Metres,
            BandLength = lot.Band?.Metres,
            BandGrams = lot.Band?.Grams,
            SampleLength = lot.Sample?.Metres,
            SampleGrams = lot.Sample?.Grams,
            SampleDivisionGrams = lot.Sample?.DivisionGrams,
            SampleError = lot.Sample?.ErrorMetres,
            SampleIsDifference = lot.Sample?.IsDifference ?? false,
            YarnCount = lot.YarnCount,
            CountIsResultant = lot.CountNotation == CountNotation.Resultant,
            NamedMetresPer100g = lot.NamedMetresPer100g,
            GaugeStitches = lot.Gauge is { Stitches: { } stitches, PerCm: { } width } ? stitches * 10 / width : lot.Gauge?.Stitches,
            Fibres = lot.Fibres.Count == 0 ? [new()] : [.. lot.Fibres.Select(f => new FibreForm { Code = f.Code ?? "", Percent = f.Percent })],
            FibreBasis = lot.FibreBasis,
            ShelfBin = apart ? null : lot.BinDisplay,
            QuarantineBin = apart ? lot.BinDisplay : null,
            Softness = lot.Softness,
            MachineWashable = lot.MachineWashable,
            CareNotes = lot.CareNotes,
            MaxCelsius = lot.MaxCelsius,
            DyeLot = lot.DyeLot,
            Notes = lot.Notes,
        };
    }

    /// <summary>The same ball as a new one, after its lot was taken back.</summary>
    public BallForm AsNew() => this with { RequestId = Guid.CreateVersion7(), LotId = null, LotDisplay = null, Version = 0 };

    /// <summary>What the use cases take, or what only the form can see to be wrong.</summary>
    public Outcome<LotInput> ToInput(QuarantinePolicy policy, QuarantineReason? bag)
    {
        Check check = new();
        check.That(WholeBalls is null || WholeBalls == decimal.Truncate(WholeBalls.Value), "wholeBalls", "{0} whole balls can't be counted. What is left of a ball is weighed: its grams are the loose ones.", WholeBalls ?? 0);
        check.That(Count is null || Count == decimal.Truncate(Count.Value), "count", "A lot has whole balls; {0} were given. What is left of a ball counts as one.", Count ?? 0);
        return check.Failed
            ? check.Refuse<LotInput>()
            : Evidence() with
            {
                Count = WholeBalls is > 0 && LotId is null ? null : Count is { } count ? (int)Math.Clamp(count, -1, LotFields.MostBalls + 1) : null,
                FibreBasis = FibreBasis,
                Softness = Softness,
                MachineWashable = MachineWashable,
                CareNotes = CareNotes,
                MaxCelsius = MaxCelsius,
                ColourFamily = ChosenFamily,
                ColourHex = ColourHex,
                Multicolour = Multicolour,
                DyeLot = DyeLot,
                Notes = NotesWith(BandText.Parse(BandWords, new(Country, System, CountIsResultant ? CountNotation.Resultant : CountNotation.Singles))),
                BinCode = Quarantine(policy, bag) is null ? ShelfBin : QuarantineBin,
            };
    }

    /// <summary>The refusal at the field where the person can mend it, for those that name several fields at once.</summary>
    public Refusal Beside(Refusal refusal) => refusal.Field switch
    {
        "band" => refusal with { Field = BandLength is null ? "band.metres" : "band.grams" },
        "sample" => refusal with { Field = SampleLength is null ? "sample.metres" : "sample.grams" },
        "sample.divisionGrams" => refusal with { Field = "sample.grams" },
        "namedMetresPer100g" => refusal with { Field = "yarnCount" },
        "gauge.perCm" => refusal with { Field = "gauge.stitches" },
        "wraps" => refusal with { Field = "wraps.count" },
        _ => refusal,
    };

    /// <summary>Only what mass and length are computed from.</summary>
    public LotInput Evidence() => new()
    {
        Grams = MassUnknown ? null : Grams,
        MassUnknown = MassUnknown,
        WholeBalls = MassUnknown || WholeBalls is not { } balls ? null : (int)Math.Clamp(balls, -1, BallCount.MaxBalls + 1),
        ScaleDivisionGrams = MassUnknown ? null : ScaleDivisionGrams,
        ScaleId = MassUnknown ? null : ScaleId,
        CoreTareGrams = PutUp == PutUp.Cone && !MassUnknown ? CoreTareGrams : null,
        PutUp = PutUp,
        WeightClass = WeightClass,
        Wraps = WrapsCount is null || Texture != Texture.Smooth ? null : new WrapsInput(WrapsCount, WrapsInches, [.. WrapsRepeats.OfType<decimal>()]),
        Band = BandLength is null && BandGrams is null ? null : new BandInput(InMetres(BandLength), BandGrams),
        Sample = SampleLength is null && SampleGrams is null ? null : new SampleInput(InMetres(SampleLength), SampleGrams, SampleDivisionGrams ?? ScaleDivisionGrams, InMetres(SampleError), SampleIsDifference),
        YarnCount = YarnCount,
        CountNotation = CountIsResultant ? CountNotation.Resultant : CountNotation.Singles,
        NamedMetresPer100g = NamedMetresPer100g,
        Gauge = GaugeStitches is null ? null : new GaugeInput(GaugeStitches, 10),
        Fibres = [.. Filled()],
        Texture = Texture,
    };

    /// <summary>What no field takes of the band stays with the lot, where a search finds it.</summary>
    private string? NotesWith(Outcome<BandText> words)
    {
        string left = words.IsOk ? string.Join(" · ", BandFill.Of(words.Value).Left) : BandWords;
        return left.Length == 0 ? Notes : string.IsNullOrWhiteSpace(Notes) ? OnTheBand + left : $"{Notes.TrimEnd()} {OnTheBand}{left}";
    }

    /// <summary>What was weighed beside the whole balls; null where nothing was.</summary>
    private static decimal? Loose(LotView lot, long mg)
    {
        decimal loose = mg / 1000m - (lot.SealedBallsLeft ?? 0) * (lot.Band?.Grams ?? 0);
        return lot.SealedBallsLeft is null or 0 || (loose > 0 && lot.LooseMg is not 0) ? loose : null;
    }

    private decimal? InMetres(decimal? length) => length is { } typed ? BandFill.Metres(typed, BandUnit) : null;

    private IEnumerable<FibreInput> Filled() => Fibres.Where(f => f.Code.Length > 0 || f.Percent is not null).Select(f => new FibreInput(f.Code, f.Percent));
}
