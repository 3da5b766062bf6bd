using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Measuring;

/// <summary>Everything that may be known of a yarn whose length is asked for.</summary>
public sealed record EstimateInput
{
    public decimal? Grams { get; init; }

    /// <summary>Balls with their band on, which count by it; <see cref="Grams"/> are then what is loose.</summary>
    public int? WholeBalls { get; init; }

    public decimal? ScaleDivisionGrams { get; init; }

    public WeightClass? WeightClass { get; init; }

    public WrapsInput? Wraps { get; init; }

    public BandInput? Band { get; init; }

    /// <summary>What the band says, as typed; fills what the other fields leave open.</summary>
    public string? BandText { get; init; }

    public PlyCountry? PlyCountry { get; init; }

    /// <summary>System of a count in the band's text that names none; its key, for instance "Nm".</summary>
    public string? CountSystem { get; init; }

    /// <summary>What the number beside the plies of a count stands for.</summary>
    public CountNotation CountNotation { get; init; }

    public SampleInput? Sample { get; init; }

    /// <summary>For instance "Nm 2/28".</summary>
    public string? Count { get; init; }

    public GaugeInput? Gauge { get; init; }

    public IReadOnlyList<FibreInput> Fibres { get; init; } = [];

    public Texture Texture { get; init; }

    /// <summary>Strands of the one lot held together; each takes its share of the length.</summary>
    public int? Strands { get; init; }
}

/// <summary>A yarn's estimate with the mass it was asked for.</summary>
/// <param name="Strands">1 or more.</param>
/// <param name="Read">What the band's text says; null without one.</param>
internal sealed record Measured(YarnEvidence Evidence, YardageEstimate Estimate, Mass Mass, int Strands, BandText? Read)
{
    /// <summary>Metres of the lot, of all strands held together.</summary>
    public LengthRange Length
    {
        get
        {
            LengthRange one = Estimate.LengthOf(Mass, Evidence.ScaleDivision);
            return new(HeldStrands.FromOneLot(one.Low, Strands), HeldStrands.FromOneLot(one.Likely, Strands), HeldStrands.FromOneLot(one.High, Strands));
        }
    }
}

/// <summary>Reads what is known of a yarn, checks it and estimates its length; nothing of the guild's is read.</summary>
internal static class EstimateFields
{
    public static Outcome<Measured> Read(EstimateInput input, YardageRules rules)
    {
        Check check = new();
        CountSystem? system = string.IsNullOrWhiteSpace(input.CountSystem) ? null : check.Take(CountSystemTerms.Parse(input.CountSystem, "countSystem"));
        BandText? read = string.IsNullOrWhiteSpace(input.BandText) ? null : check.Take(BandText.Parse(input.BandText, new(input.PlyCountry, system, input.CountNotation)));
        BandFill fill = read is null ? BandFill.Nothing : BandFill.Of(read);
        LotInput lot = new()
        {
            Grams = input.Grams,
            WholeBalls = input.WholeBalls,
            ScaleDivisionGrams = input.ScaleDivisionGrams,
            WeightClass = input.WeightClass,
            Wraps = input.Wraps,
            // Whole balls need a band; its words will do.
            Band = input.Band ?? (input.WholeBalls is > 0 && fill is { Length: { } length, Grams: { } grams } ? new(BandFill.Metres(length, fill.Unit), grams) : null),
            Texture = input.Texture,
            Sample = input.Sample,
            Gauge = input.Gauge,
            Fibres = input.Fibres,
        };
        Mass? mass = LotFields.ReadMass(lot, check);
        YarnEvidence evidence = LotFields.ReadEvidence(lot, check) with
        {
            Count = string.IsNullOrWhiteSpace(input.Count) ? null : check.Take(CountFields.Of(input.Count, "count", input.CountNotation)),
        };
        LotFields.ReadFibres(lot, check);
        int strands = input.Strands ?? 1;
        check.That(strands is >= 1 and <= HeldStrands.MostStrands, "strands", "{0} strands can't be held together; 1 to {1} are allowed.", strands, HeldStrands.MostStrands);
        if (read is { Refusals: [var wrong, ..] })
        {
            check.Add(wrong.Refusal with { Field = "bandText" });
        }

        if (check.Failed || mass is not { } known)
        {
            return check.Refuse<Measured>();
        }

        evidence = read is null ? evidence : fill.Into(evidence, input.Fibres.Count == 0);
        return rules.Estimate(evidence) is { } estimate
            ? new Measured(evidence, estimate, known, strands, read)
            : Refusal.Invalid("wraps", "Nothing here says how long the yarn is. Give its wraps, a weight class, the band's metres and grams, a weighed sample, a count or a gauge; wraps count on smooth yarn only.");
    }
}
