using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Reads a count, or the name of thickness that stands in for one.</summary>
public static class CountFields
{
    /// <summary>A count as typed, turned into a length per mass; a folded one is a little less sure than one of the whole yarn.</summary>
    /// <param name="field">Field that a refusal names.</param>
    /// <param name="notation">What the number beside the plies stands for, where the text does not say it.</param>
    public static Outcome<CountReading> Of(string text, string field, CountNotation notation = CountNotation.Singles)
    {
        Outcome<YarnCount> count = YarnCount.Parse(text, notation: notation, field: field);
        if (!count.IsOk)
        {
            return Outcome<CountReading>.Refused(count.Refusals);
        }

        Outcome<CountReading> reading = CountReading.Create(count.Value.Density, count.Value.Kind);
        return reading.IsOk ? reading : reading.Refusal with { Field = field };
    }

    /// <summary>The count, or what a name of thickness stands for; what is wrong goes into the check.</summary>
    public static CountReading? Read(LotInput input, Check check)
    {
        if (!string.IsNullOrWhiteSpace(input.YarnCount))
        {
            return check.Take(Of(input.YarnCount, "yarnCount", input.CountNotation));
        }

        if (input.NamedMetresPer100g is not { } named)
        {
            return null;
        }

        bool fits = named is >= Band.MinMetresPer100Grams and <= Band.MaxMetresPer100Grams;
        check.That(fits, "namedMetresPer100g", "{0} m to 100 g can't be what a name of thickness stands for; {1} to {2:N0} is allowed.", named, Band.MinMetresPer100Grams, Band.MaxMetresPer100Grams);
        return fits ? CountReading.Create(LinearDensity.FromMetresPer100Grams(named), CountKind.TradeName).Value : null;
    }
}
