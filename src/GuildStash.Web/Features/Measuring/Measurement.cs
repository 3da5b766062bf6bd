using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Measuring;

/// <summary>What the fields say, read and reckoned; without the database.</summary>
/// <param name="Evidence">Whatever could be read.</param>
/// <param name="Estimate">Null while nothing says anything about length.</param>
/// <param name="Mass">The grams in hand; null without any, or where they are wrong.</param>
/// <param name="Next">What to measure next.</param>
/// <param name="Refusals">What could not be read.</param>
public sealed record Measurement(YarnEvidence Evidence, YardageEstimate? Estimate, Mass? Mass, IReadOnlyList<NextMeasurement> Next, IReadOnlyList<Refusal> Refusals)
{
    /// <summary>The guild's rules it was reckoned with.</summary>
    public required YardageRules Rules { get; init; }

    /// <summary>Length of the grams in hand; null without them.</summary>
    public LengthRange? Length => Mass is { } mass ? Estimate?.LengthOf(mass, Evidence.ScaleDivision) : null;

    /// <summary>What strands of it stand in for by the guild's rules.</summary>
    public IEnumerable<StrandSubstitute> StandsIn => Rules.Strands.Rules.Where(rule => rule.From == Estimate?.WeightClass);

    /// <summary>Class and basis alone, without what did not agree: that stands in <see cref="YardageEstimate.Conflicts"/>.</summary>
    public Phrase? Basis
    {
        get
        {
            Phrase? sentence = Estimate?.Sentence;
            while (sentence is { Text: "{0} {1}", Arguments: [Phrase first, Phrase second] } && Estimate!.Conflicts.Contains(second))
            {
                sentence = first;
            }

            return sentence;
        }
    }

    public static Measurement Of(MeasureForm form, YardageRules rules, LengthUnit unit)
    {
        Check check = new();
        YarnEvidence evidence = new()
        {
            AssertedClass = form.WeightClass,
            Texture = form.Texture,
            Wraps = form.WrapsCount is { } count ? check.Take(Wraps.Create(count, form.WrapsInches ?? 1, [.. form.WrapsRepeats.OfType<decimal>()])) : null,
            Band = form is { BandLength: { } length, BandGrams: { } grams } ? check.Take(Band.Create(Metres(length, form.BandUnit), grams)) : null,
            Sample = ReadSample(form, check),
            Count = ReadCount(form, check),
            Gauge = form.Gauge is { } stitches ? check.Take(Gauge.Create(stitches)) : null,
            FibreGroup = check.Take(FibreContent.Create(form.Shares())) is { } fibres ? FibreGroups.Of(fibres) : FibreGroup.Other,
            Fibres = FibreContent.Create(form.Shares()) is { IsOk: true } known ? known.Value : FibreContent.Unknown,
            ScaleDivision = ReadDivision(form, check),
        };
        Mass? mass = ReadMass(form, check);
        YardageEstimate? estimate = rules.Estimate(evidence);
        IReadOnlyList<NextMeasurement> next = rules.Next(evidence, mass, unit == LengthUnit.Yards);
        return new(evidence, estimate, mass, next, check.Refusals) { Rules = rules };
    }

    private static Mass? ReadMass(MeasureForm form, Check check)
    {
        if (form.Grams is not { } grams)
        {
            return null;
        }

        Outcome<Mass> mass = MassLimits.LotMass(grams);
        _ = check.Take(mass);
        return mass.IsOk ? mass.Value : null;
    }

    private static Mass? ReadDivision(MeasureForm form, Check check)
    {
        if (form.ScaleDivisionGrams is not { } division)
        {
            return null;
        }

        bool isUsable = division is > 0 and <= LotFields.LargestScaleDivisionGrams;
        check.That(isUsable, "scaleDivisionGrams", "A scale division of {0} g can't be used; allowed is more than 0 and at most {1} g.", division, LotFields.LargestScaleDivisionGrams);
        return isUsable ? Domain.Quantities.Mass.FromGrams(division) : null;
    }

    private static WeighedSample? ReadSample(MeasureForm form, Check check)
    {
        if (form is not { SampleLength: { } length, SampleGrams: { } grams })
        {
            return null;
        }

        decimal? division = form.ScaleDivisionGrams is > 0 and <= LotFields.LargestScaleDivisionGrams ? form.ScaleDivisionGrams : null;
        return check.Take(WeighedSample.Create(Metres(length, form.SampleUnit), grams, division));
    }

    private static CountReading? ReadCount(MeasureForm form, Check check)
    {
        if (string.IsNullOrWhiteSpace(form.Count))
        {
            return form.NamedMetresPer100Grams is { } named ? check.Take(CountReading.Create(LinearDensity.FromMetresPer100Grams(named), CountKind.TradeName)) : null;
        }

        YarnCount? count = check.Take(YarnCount.Parse(form.Count));
        return count is null ? null : check.Take(CountReading.Create(count.Density, count.Plies > 1 ? CountKind.Folded : CountKind.Resultant));
    }

    private static decimal Metres(decimal length, LengthUnit unit) => unit == LengthUnit.Yards ? length * (decimal)PersonDisplay.MetresPerYard : length;
}
