using GuildStash.Domain.Colours;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Drafts;

/// <summary>Values of a draft, one for each stage, as whole numbers that are compared in order.</summary>
internal readonly record struct Score(long Pieces, long LotsAndJoins, long Unusable, long Colour, long Wishes) : IComparable<Score>
{
    /// <summary>Points for a family more than one in a piece that may be of any colour.</summary>
    public const int MixedFamily = 10;

    public long this[PlanStage stage] => stage switch
    {
        PlanStage.Pieces => Pieces,
        PlanStage.LotsAndJoins => LotsAndJoins,
        PlanStage.Unusable => Unusable,
        PlanStage.Colour => Colour,
        _ => Wishes,
    };

    public static Score Of(FittedPlan plan, Draft draft)
    {
        long[] taken = draft.Taken(plan);
        long pieces = draft.Copies.Sum(copy => (long)plan.Problem.Pieces[copy.Piece].Priority);
        (long joins, long colour) = (0, 0);
        foreach (Slice slice in draft.Slices)
        {
            joins += slice.Draws.Count - 1;
            colour += ColourOf(plan, slice);
        }

        (long opened, long unusable, long wishes) = (0, 0, 0);
        foreach (LotStock lot in plan.Lots.Where(lot => taken[lot.Index] > 0))
        {
            opened++;
            unusable += lot.Unusable(taken[lot.Index]);
            wishes += lot.Lot.Wish;
        }

        return new(pieces, opened + joins, unusable, colour, wishes);
    }

    /// <summary>Better is greater: more pieces, then fewer lots and joins, less that is unusable, fewer points, more wishes.</summary>
    public int CompareTo(Score other)
    {
        foreach (PlanStage stage in Stages.All)
        {
            int order = this[stage].CompareTo(other[stage]);
            if (order != 0)
            {
                return stage.IsMost() ? order : -order;
            }
        }

        return 0;
    }

    private static long ColourOf(FittedPlan plan, Slice slice)
    {
        PartFit part = plan.Parts[slice.Part];
        long points = 0;
        HashSet<ColourFamily?> families = [];
        foreach (Draw draw in slice.Draws)
        {
            points += part.Groups[slice.Group].Candidates.First(each => each.Lot == draw.Lot).Colour;
            families.Add(plan.Lots[draw.Lot].Lot.ColourFamily);
        }

        return points + (part.CountsFamilies ? MixedFamily * (families.Count - 1) : 0);
    }
}
