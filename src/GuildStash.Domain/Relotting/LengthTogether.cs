using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Relotting;

/// <summary>
/// What is known of the length of lots that become one. Evidence on different lots is no repeated measurement of one yarn, so it is not
/// multiplied into something surer: the weakest stands for all. Where the weakest does not even reach what another lot likely is, the lots
/// are a mixture that neither describes, and only the class that they share is left (a judgement).
/// </summary>
internal static class LengthTogether
{
    public static MergeTraits Of(MergeTraits merged, IReadOnlyList<MergeLot> lots, List<Widening> widened)
    {
        // Fibres decide which of the room's own data apply; on the scale the lots agree as far as their errors say.
        YarnEvidence Bare(MergeLot lot) => lot.Traits.Evidence with { ScaleDivision = null, FibreGroup = default, Sealed = null };
        if (lots.All(l => Same(Bare(l), Bare(lots[0]))))
        {
            return merged with { Evidence = lots[0].Traits.Evidence };
        }

        if (lots.FirstOrDefault(l => l.Traits.Estimate is null) is { } unknown)
        {
            widened.Add(new("length", new("Nothing is known of the length of {0}. Of the lot, no length is known any more; wraps or a sample would tell.", unknown.Code)));
            return merged with { Evidence = unknown.Traits.Evidence };
        }

        MergeLot weakest = lots.MaxBy(l => Spread(l.Traits.Estimate!))!;
        if (lots.All(l => Reaches(weakest.Traits.Estimate!, l.Traits.Estimate!)))
        {
            widened.Add(new("length", new("Their lengths rest on different evidence. The weakest stands for all of it, that of {0}: {1}", weakest.Code, weakest.Traits.Estimate!.Sentence)));
            return merged with { Evidence = weakest.Traits.Evidence };
        }

        if (weakest.Traits.Estimate!.WeightClass is { } shared && lots.All(l => l.Traits.Estimate!.WeightClass == shared))
        {
            widened.Add(new("length", new("Their lengths differ by more than their evidence allows. Only the class is left for the lot, {0}.", shared.Name())));
            return merged with { Evidence = new YarnEvidence { AssertedClass = shared, Texture = weakest.Traits.Evidence.Texture } };
        }

        widened.Add(new("length", new("Their lengths differ by more than their evidence allows, and not all have a class. Of the lot, no length is known any more.")));
        return merged with { Evidence = new YarnEvidence { Texture = weakest.Traits.Evidence.Texture } };
    }

    private static double Spread(YardageEstimate estimate) => Math.Log(estimate.High.MetresPer100Grams / estimate.Low.MetresPer100Grams);

    private static bool Reaches(YardageEstimate weak, YardageEstimate other) =>
        other.Likely.MetresPer100Grams >= weak.Low.MetresPer100Grams && other.Likely.MetresPer100Grams <= weak.High.MetresPer100Grams;

    private static bool Same(YarnEvidence one, YarnEvidence other) => one == other;
}
