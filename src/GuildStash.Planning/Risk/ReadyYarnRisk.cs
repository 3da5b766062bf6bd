using GuildStash.Domain.Yardage;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Risk;

/// <summary>The chance that yarn which is weighed out already runs short, from the same draws as a plan's.</summary>
public static class ReadyYarnRisk
{
    /// <summary>The chance that the yarn for one part, all of its lots joined, is shorter than so many pieces take.</summary>
    /// <param name="pieces">Alike pieces that the yarn is for, at least 1; one pattern, so that all take more or all take less.</param>
    /// <param name="lots">With the masses that lie ready; a lot that is there twice counts with both.</param>
    /// <param name="seed">The same one draws the same.</param>
    /// <returns>0 to 1; null where it can't be told: a palette, whose colours can't stand in for each other, or yarn of a thickness that the part does not take.</returns>
    public static double? OfPart(PlanPart part, int pieces, IReadOnlyList<PlanLot> lots, StrandSubstitutes substitutes, int seed = PlanOptions.DrawsSeed)
    {
        // Hundreds of grams for one strand of the work.
        (LotYarn Yarn, double Hundreds)[] yarn = [.. lots.GroupBy(lot => lot.Code).Select(lot =>
            (lot.First().Yarn, lot.Sum(each => each.Mass.Milligrams) / 100_000.0 / (LotRules.StrandsFor(part, lot.First(), substitutes) * part.Strands)))];
        if (part.Colour.Kind == ColourWishKind.Palette || yarn.Length == 0 || yarn.Any(each => !double.IsFinite(each.Hundreds)))
        {
            return null;
        }

        SeededNormals normals = new(seed);
        Span<double> ofClass = stackalloc double[LengthDraws.Classes];
        int isShort = 0;
        for (int k = 0; k < ShortSimulation.Draws; k++)
        {
            LengthDraws.Factors(ofClass, ref normals);
            double length = 0;
            foreach ((LotYarn lot, double hundreds) in yarn)
            {
                length += hundreds * LengthDraws.Yarn(lot, ofClass, ref normals);
            }

            isShort += length < (pieces * LengthDraws.Need(part.Need, ref normals)) - LengthDraws.Tolerance ? 1 : 0;
        }

        return (double)isShort / ShortSimulation.Draws;
    }
}
