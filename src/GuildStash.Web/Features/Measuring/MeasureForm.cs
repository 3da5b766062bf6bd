using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Measuring;

/// <summary>What stands in the fields of the measuring page; nothing of it is saved.</summary>
public sealed class MeasureForm : IBandAnswers
{
    private BandFill _filled = BandFill.Nothing;

    /// <summary>A kitchen scale's; a guess that stands in its field, to be corrected.</summary>
    private const decimal UsualDivisionGrams = 1;

    public decimal? WrapsCount { get; set; }

    public decimal? WrapsInches { get; set; } = 1;

    public List<decimal?> WrapsRepeats { get; private set; } = [];

    public decimal? Grams { get; set; }

    /// <summary>Balls with their band on, which count by it; <see cref="Grams"/> are then what is loose.</summary>
    public decimal? WholeBalls { get; set; }

    public decimal? ScaleDivisionGrams { get; set; } = UsualDivisionGrams;

    /// <summary>In <see cref="SampleUnit"/>.</summary>
    public decimal? SampleLength { get; set; }

    public LengthUnit SampleUnit { get; set; }

    public decimal? SampleGrams { get; set; }

    /// <summary>In <see cref="SampleUnit"/>; the length is right within ± this, empty within 1 %.</summary>
    public decimal? SampleError { get; set; }

    public bool SampleIsDifference { get; set; }

    public string BandWords { get; set; } = "";

    /// <summary>Answer to <see cref="BandQuestion.PlyCountry"/>.</summary>
    public PlyCountry? Country { get; set; }

    /// <summary>Answer to <see cref="BandQuestion.CountSystem"/>.</summary>
    public CountSystem? System { get; set; }

    /// <summary>In <see cref="BandUnit"/>.</summary>
    public decimal? BandLength { get; set; }

    public LengthUnit BandUnit { get; set; }

    public decimal? BandGrams { get; set; }

    public string Count { get; set; } = "";

    /// <summary>The number beside the plies is of the whole yarn, as for spun silk.</summary>
    public bool CountIsResultant { get; set; }

    /// <summary>Stitches over 10 cm.</summary>
    public decimal? Gauge { get; set; }

    public WeightClass? WeightClass { get; set; }

    public Texture Texture { get; set; }

    public List<FibreForm> Fibres { get; private set; } = [new()];

    /// <summary>Length per mass that a name on the band stands for, about; only the band's words set it, and a count goes before it.</summary>
    public CountReading? NameOfThickness => string.IsNullOrWhiteSpace(Count) && _filled.Count.Length == 0 ? _filled.Reading : null;

    /// <summary>What the length is computed from; half a band or sample says nothing yet.</summary>
    public LotInput Evidence() => new()
    {
        WeightClass = WeightClass,
        Texture = Texture,
        Wraps = WrapsCount is { } count ? new(count, WrapsInches, [.. WrapsRepeats.OfType<decimal>()]) : null,
        Band = BandLength is { } length && BandGrams is not null ? new(BandFill.Metres(length, BandUnit), BandGrams) : null,
        Sample = SampleLength is { } sample && SampleGrams is not null ? new(BandFill.Metres(sample, SampleUnit), SampleGrams, IsScaleUsable ? ScaleDivisionGrams : null, SampleError is { } error ? BandFill.Metres(error, SampleUnit) : null, SampleIsDifference) : null,
        YarnCount = Count,
        CountNotation = Notation,
        Gauge = Gauge is null ? null : new(Gauge, 10),
        Fibres = [.. Shares().Select(share => new FibreInput(share.Code, share.Percent))],
        ScaleDivisionGrams = ScaleDivisionGrams,
        Grams = Grams,
        WholeBalls = IsByBalls ? (int)Math.Clamp(WholeBalls!.Value, -1, BallCount.MaxBalls + 1) : null,
    };

    /// <summary>Whether whole balls of a band are counted.</summary>
    public bool IsByBalls => WholeBalls is not null and not 0 && BandLength is not null && BandGrams is not null;

    /// <summary>The refusal at this page's own field.</summary>
    public static Refusal Beside(Refusal refusal) => refusal.Field == "yarnCount" ? refusal with { Field = "count" } : refusal;

    private CountNotation Notation => CountIsResultant ? CountNotation.Resultant : CountNotation.Singles;

    private bool IsScaleUsable => ScaleDivisionGrams is > 0 and <= LotFields.LargestScaleDivisionGrams;

    /// <summary>An empty form for the next ball at the same table: scale, inches and units stay.</summary>
    public MeasureForm Next() => new()
    {
        ScaleDivisionGrams = ScaleDivisionGrams,
        WrapsInches = WrapsInches,
        SampleUnit = SampleUnit,
        BandUnit = BandUnit,
    };

    /// <summary>What the band's words mean, and what they leave open without an answer.</summary>
    public (Outcome<BandText> Text, IReadOnlyList<BandQuestion> Asked) ReadBand()
    {
        Outcome<BandText> unanswered = BandText.Parse(BandWords);
        return (BandText.Parse(BandWords, new BandTextOptions(Country, System, Notation)), unanswered.IsOk ? unanswered.Value.Questions : []);
    }

    /// <summary>
    /// Fills the fields from the band's words. A field that a person wrote is overwritten only by something the words say anew, and
    /// emptied only while it still holds what the words had put there.
    /// </summary>
    public void Fill(Outcome<BandText> text)
    {
        BandFill before = _filled;
        BandFill now = text.IsOk ? BandFill.Of(text.Value) : BandFill.Nothing;
        _filled = now;
        if (now.Length != before.Length || now.Unit != before.Unit)
        {
            bool isTheirs = BandLength == before.Length;
            BandUnit = now.Length is null ? BandUnit : now.Unit;
            BandLength = isTheirs || now.Length is not null ? now.Length : BandLength;
        }

        BandGrams = Merge(BandGrams, before.Grams, now.Grams);
        Gauge = Merge(Gauge, before.Gauge, now.Gauge);
        WeightClass = Merge(WeightClass, before.WeightClass, now.WeightClass);
        Count = now.Count == before.Count || (now.Count.Length == 0 && Count != before.Count) ? Count : now.Count;
        if (!now.Fibres.SequenceEqual(before.Fibres) && (now.Fibres.Count > 0 || Shares().SequenceEqual(before.Fibres)))
        {
            Fibres = now.Fibres.Count == 0 ? [new()] : [.. now.Fibres.Select(share => new FibreForm { Code = share.Code, Percent = share.Percent })];
        }
    }

    /// <summary>The fibres that are named.</summary>
    public IEnumerable<FibreShare> Shares() => Fibres.Where(fibre => fibre.Code.Length > 0).Select(fibre => new FibreShare(fibre.Code, fibre.Percent));

    private static T? Merge<T>(T? field, T? before, T? now)
        where T : struct => EqualityComparer<T?>.Default.Equals(now, before) || (now is null && !EqualityComparer<T?>.Default.Equals(field, before)) ? field : now;
}
