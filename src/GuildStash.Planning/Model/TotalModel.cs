using Google.OrTools.Sat;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Model;

/// <summary>
/// The small model: for each part and lot one total, whatever piece it goes into. A plan always meets it, so that its bounds hold for
/// plans; its own answer need not be one, since totals may not divide into pieces of so few lots each.
/// </summary>
internal sealed class TotalModel : ModelFrame
{
    private readonly List<(int Part, int Group, Candidate Lot, IntVar? Total, IntVar Slices)> _amounts = [];

    private readonly List<(PartFit Part, Candidate Lot, IntVar Total, long Factor)> _totals = [];

    /// <param name="counted">Whether lots in slices are counted, which the first stage needs only where few are allowed.</param>
    public TotalModel(FittedPlan plan, bool counted)
        : base(plan, new())
    {
        foreach (PartFit part in plan.Parts)
        {
            for (int g = 0; g < part.Groups.Count; g++)
            {
                AddGroup(part, g, counted);
            }
        }

        Frame();
    }

    private void AddGroup(PartFit part, int g, bool counted)
    {
        ShadeGroup group = part.Groups[g];
        List<IntVar> counts = [];
        HashSet<int> joined = [.. group.JoinSets.SelectMany(set => set)];
        for (int i = 0; i < group.Candidates.Count; i++)
        {
            Candidate lot = group.Candidates[i];
            if (joined.Contains(i) || lot.Reach < part.Need)
            {
                continue;
            }

            IntVar whole = Model.NewIntVar(0, Math.Min(lot.Reach / part.Need, Wanted(part)), "whole");
            Takes(lot.Lot, whole, part.Need * lot.Strands);
            Uses(lot.Lot, whole, Math.Min(lot.Reach / part.Need, Wanted(part)));
            Points.Add((whole, lot.Colour));
            _amounts.Add((part.Index, g, lot, null, whole));
            _totals.Add((part, lot, whole, part.Need));
            counts.Add(whole);
        }

        foreach (int[] set in group.JoinSets)
        {
            IntVar count = Model.NewIntVar(0, Wanted(part), "count");
            AddSet(part, g, set, count, counted || part.MostLots < set.Length);
            counts.Add(count);
        }

        Model.Add(LinearExpr.Sum(counts) == Counts[part.Index][g]);
    }

    private void AddSet(PartFit part, int g, int[] set, IntVar count, bool counted)
    {
        List<IntVar> totals = [];
        List<IntVar> slices = [];
        foreach (Candidate lot in set.Select(i => part.Groups[g].Candidates[i]))
        {
            long most = Math.Min(lot.Reach, part.Need * Wanted(part));
            IntVar total = Model.NewIntVar(0, most, "total");
            Takes(lot.Lot, total, lot.Strands);
            totals.Add(total);
            _totals.Add((part, lot, total, 1));
            if (counted)
            {
                long mostSlices = Math.Min(Wanted(part), most);
                IntVar used = Model.NewIntVar(0, mostSlices, "slices");
                Model.Add(total <= part.Need * used);
                Uses(lot.Lot, used, mostSlices);
                Rounds(lot, part.Need, total, used);
                Joins.Add((used, 1));
                Points.Add((used, lot.Colour));
                slices.Add(used);
                _amounts.Add((part.Index, g, lot, total, used));
            }
        }

        Model.Add(LinearExpr.Sum(totals) == part.Need * count);
        if (counted)
        {
            Joins.Add((count, -1));
            Model.Add(LinearExpr.Sum(slices) <= (long)part.MostLots * count);
            Model.Add(LinearExpr.Sum(slices) >= count);
        }
    }

    public void Hint(Draft draft)
    {
        HintFrame(draft);
        Dictionary<(int, int, int), (long Worked, int Slices)> sums = [];
        foreach (Slice slice in draft.Slices)
        {
            foreach (Draw draw in slice.Draws)
            {
                (long worked, int slices) = sums.GetValueOrDefault((slice.Part, slice.Group, draw.Lot));
                sums[(slice.Part, slice.Group, draw.Lot)] = (worked + draw.Worked, slices + 1);
            }
        }

        foreach ((int part, int group, Candidate lot, IntVar? total, IntVar slices) in _amounts)
        {
            (long worked, int number) = sums.GetValueOrDefault((part, group, lot.Lot));
            Model.AddHint(slices, number);
            if (total is not null)
            {
                Model.AddHint(total, worked);
            }
        }
    }

    /// <summary>Lots that the answer opens.</summary>
    public HashSet<int> Opened(CpSolver solved) => [.. _totals.Where(each => solved.Value(each.Total) > 0).Select(each => each.Lot.Lot)];

    /// <summary>Worked decimetres that each part has of each lot when variables take these values, by index of part and lot; a lot has one total in a part.</summary>
    public Dictionary<(int Part, int Lot), long> Quotas(double[] values) => _totals
        .Select(each => (each.Part, each.Lot, Worked: (long)Math.Round(values[each.Total.Index] * each.Factor)))
        .Where(each => each.Worked > 0)
        .ToDictionary(each => (each.Part.Index, each.Lot.Lot), each => each.Worked);
}
