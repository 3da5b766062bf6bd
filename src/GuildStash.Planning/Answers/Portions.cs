using GuildStash.Domain.Quantities;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Answers;

/// <summary>A draw with what it weighs.</summary>
/// <param name="Copy">Index of the copy in the draft.</param>
/// <param name="Number">Number of the piece among its kind, from 1.</param>
/// <param name="Slice">Index of the slice within its copy.</param>
internal readonly record struct Portion(int Copy, int Piece, int Number, int Slice, int Part, Draw Draw, Mass Mass);

internal static class Portions
{
    /// <summary>
    /// Every draw with its mass at the plan's safety, rounded up to the milligram. A lot's length was rounded down, which leaves room
    /// for that; where it does not, the last portion is the rest of the lot, a few milligrams less.
    /// </summary>
    public static IReadOnlyList<Portion> Of(FittedPlan plan, Draft draft)
    {
        long[] left = [.. plan.Lots.Select(lot => lot.Lot.Mass.Milligrams)];
        int[] numbers = new int[plan.Problem.Pieces.Count];
        List<Portion> portions = [];
        for (int c = 0; c < draft.Copies.Count; c++)
        {
            Copy copy = draft.Copies[c];
            int number = ++numbers[copy.Piece];
            for (int s = 0; s < copy.Slices.Count; s++)
            {
                foreach (Draw draw in copy.Slices[s].Draws)
                {
                    double exact = draw.Taken * 10_000 / plan.Lots[draw.Lot].Density.MetresPer100Grams;
                    long milligrams = Math.Min(left[draw.Lot], (long)Math.Ceiling(exact - 1e-6));
                    left[draw.Lot] -= milligrams;
                    portions.Add(new(c, copy.Piece, number, s, copy.Slices[s].Part, draw, Mass.FromMilligrams(milligrams)));
                }
            }
        }

        return portions;
    }
}
