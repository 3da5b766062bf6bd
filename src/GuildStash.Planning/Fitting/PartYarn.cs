using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Fitting;

/// <summary>One way in which yarn is as thick as a part asks.</summary>
/// <param name="Classes">Of any of these; null where the window alone decides, and then yarn of unknown class too.</param>
/// <param name="Window">Metres per 100 g of all strands together; null admits every one.</param>
/// <param name="Strands">So many of the lot's strands make one of the part's.</param>
public sealed record ThicknessChoice(IReadOnlyList<WeightClass>? Classes, DensityWindow? Window, int Strands)
{
    internal bool Takes(WeightClass? own, LinearDensity likely) =>
        (Classes is null || (own is { } weight && Classes.Contains(weight))) && (Window is null || Window.Holds(likely.MetresPer100Grams / Strands));
}

/// <summary>What yarn a part takes: for plans, and for whoever asks a room of any size about it.</summary>
public static class PartYarn
{
    private static readonly WeightClass[] s_classes = Enum.GetValues<WeightClass>();

    /// <summary>The ways in which yarn is thick enough, fewest strands first.</summary>
    public static IEnumerable<ThicknessChoice> Choices(PlanPart part, StrandSubstitutes substitutes)
    {
        if (part.WeightClasses.Count == 0)
        {
            yield return new(null, part.Window, 1);
            yield break;
        }

        yield return new([.. s_classes.Where(each => LotRules.Admits(part.WeightClasses, each))], part.Window, 1);
        foreach (StrandSubstitute rule in substitutes.Rules.Where(rule => LotRules.Admits(part.WeightClasses, rule.To)).OrderBy(rule => rule.Strands))
        {
            yield return new([rule.From], part.Window, rule.Strands);
        }
    }

    /// <summary>Whether it takes only yarn whose colour family is known, whichever it is.</summary>
    public static bool NeedsFamily(PlanPart part) => part.Colour.Kind is ColourWishKind.Palette or ColourWishKind.Contrast or ColourWishKind.Match;

    /// <summary>How a plan would let the part use the lot, were there enough of it.</summary>
    /// <returns>The lot's strands that make one of the part's; 0 where the part does not take it.</returns>
    public static int StrandsFor(PlanPiece piece, PlanPart part, PlanLot lot, StrandSubstitutes substitutes) =>
        LotRules.Broken(piece, part, lot, substitutes).Any() || (NeedsFamily(part) && lot.ColourFamily is null) ? 0 : LotRules.StrandsFor(part, lot, substitutes);
}
