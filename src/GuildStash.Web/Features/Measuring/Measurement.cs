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
        YarnEvidence evidence = LotFields.ReadEvidence(form.Evidence(), check);
        evidence = evidence with { Count = evidence.Count ?? form.NameOfThickness };
        Mass? mass = ReadMass(form, check);
        YardageEstimate? estimate = rules.Estimate(evidence);
        IReadOnlyList<NextMeasurement> next = rules.Next(evidence, mass, unit == LengthUnit.Yards);
        return new(evidence, estimate, mass, next, [.. check.Refusals.Select(MeasureForm.Beside)]) { Rules = rules };
    }

    private static Mass? ReadMass(MeasureForm form, Check check)
    {
        if (form.IsByBalls)
        {
            Check balls = new();
            Mass? counted = LotFields.ReadMass(form.Evidence(), balls);
            balls.Refusals.ToList().ForEach(check.Add);
            return balls.Failed ? null : counted;
        }

        if (form.Grams is not { } grams)
        {
            return null;
        }

        Outcome<Mass> mass = MassLimits.LotMass(grams);
        _ = check.Take(mass);
        return mass.IsOk ? mass.Value : null;
    }
}
