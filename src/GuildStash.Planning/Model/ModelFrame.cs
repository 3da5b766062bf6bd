using Google.OrTools.Sat;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Model;

/// <summary>
/// What both models have in common: how many of each piece, how many slices of each part from each group, what goes beside what, what
/// is taken from each lot, and the stages. See docs/adr/0008 for the formulas.
/// </summary>
internal abstract class ModelFrame
{
    private readonly Dictionary<int, BoolVar> _open = [];
    private readonly Dictionary<int, IntVar> _unusable = [];
    private readonly Dictionary<int, BoolVar> _usable = [];
    private readonly List<(int Part, IntVar[,] Pairs)> _pairs = [];
    private readonly Dictionary<int, List<(IntVar Var, long Factor)>> _taken = [];
    private readonly List<(int Lot, Func<BoolVar, BoundedLinearExpression> Rule)> _uses = [];

    /// <summary>For a lot: a way of using it, and what it leaves where it has no share in joined slices.</summary>
    private readonly List<(int Lot, BoolVar Way, long? Left)> _ways = [];

    protected ModelFrame(FittedPlan plan, Exclusions without)
    {
        Plan = plan;
        Made = [.. plan.Problem.Pieces.Select((piece, i) => Between(without.Made(i, piece.Wanted), $"made{i}"))];
        Counts = [.. plan.Parts.Select(part => part.Groups.Select((_, g) => Between(without.Count(part.Index, g, Wanted(part)), $"count{part.Index}_{g}")).ToArray())];
    }

    private IntVar Between((long Low, long High) limits, string name) => Model.NewIntVar(limits.Low, limits.High, name);

    public CpModel Model { get; } = new();

    /// <summary>Number of variables.</summary>
    public int Size => Model.Model.Variables.Count;

    protected FittedPlan Plan { get; }

    /// <summary>Pieces made.</summary>
    protected IntVar[] Made { get; }

    /// <summary>Slices of a part from a group.</summary>
    protected IntVar[][] Counts { get; }

    /// <summary>Lots beyond the first in a slice, as terms of one sum.</summary>
    protected List<(IntVar Var, long Factor)> Joins { get; } = [];

    /// <summary>Points of the stage of colours.</summary>
    protected List<(IntVar Var, long Factor)> Points { get; } = [];

    protected int Wanted(PartFit part) => Plan.Problem.Pieces[part.Piece].Wanted;

    /// <summary>To be called once, when every lot's takings are known.</summary>
    protected void Frame()
    {
        foreach (PartFit part in Plan.Parts)
        {
            // A palette's families differ within a piece, so that no group gives more slices than there are pieces.
            Model.Add(LinearExpr.Sum(Counts[part.Index]) == part.Slices * Made[part.Piece]);
            foreach (IntVar count in part.Slices > 1 ? Counts[part.Index] : [])
            {
                Model.Add(count <= Made[part.Piece]);
            }

            if (part.Main is { } main)
            {
                AddPairs(part, main);
            }
        }

        if (Plan.Problem.MinutesLimit is { } limit)
        {
            Model.Add(Sum(Made.Select((made, i) => (made, (long)Plan.Problem.Pieces[i].Minutes))) <= limit);
        }

        foreach ((int lot, List<(IntVar, long)> terms) in _taken)
        {
            Model.Add(Sum(terms) <= Plan.Lots[lot].Decimetres);
        }
    }

    protected void Takes(int lot, IntVar amount, long factor)
    {
        if (!_taken.TryGetValue(lot, out List<(IntVar, long)>? terms))
        {
            _taken[lot] = terms = [];
        }

        terms.Add((amount, factor));
    }

    /// <summary>A variable that is 0 where the lot is closed.</summary>
    protected void Uses(int lot, IntVar use, long most) => _uses.Add((lot, open => use <= most * open));

    /// <summary>
    /// What a lot's total and the number of its slices have to do with each other, beyond total ≤ need · slices. A lot of q needs and a
    /// rest r that is used in q slices gives q needs at most, and only one slice more sets the rest free: total ≤ q·(need − r)·open +
    /// r·slices (mixed-integer rounding; any textbook of integer programming). Nothing is lost, and bounds become much better.
    /// </summary>
    protected void Rounds(Candidate lot, long need, IntVar total, IntVar slices)
    {
        (long whole, long rest) = Math.DivRem(lot.Reach, need);
        _uses.Add((lot.Lot, open => total <= (whole * (need - rest) * open) + (rest * slices)));
    }

    /// <summary>A way of using a lot, of which exactly one is chosen where it is opened.</summary>
    /// <param name="left">Decimetres that it leaves, where that is known.</param>
    protected void Way(int lot, BoolVar way, long? left) => _ways.Add((lot, way, left));

    protected static LinearExpr Sum(IEnumerable<(IntVar Var, long Factor)> terms)
    {
        LinearExprBuilder sum = LinearExpr.NewBuilder();
        foreach ((IntVar variable, long factor) in terms)
        {
            sum.AddTerm(variable, factor);
        }

        return sum;
    }

    /// <summary>Opens no fewer lots and no more.</summary>
    protected void OpenBetween((long Low, long High) limits)
    {
        if (limits.Low > 0 || limits.High < Plan.Lots.Count)
        {
            Model.AddLinearConstraint(LinearExpr.Sum(Open().Values), limits.Low, Math.Min(limits.High, Plan.Lots.Count));
        }
    }

    /// <summary>Makes the stage what is sought.</summary>
    public void Seek(PlanStage stage)
    {
        if (stage.IsMost())
        {
            Model.Maximize(Of(stage));
        }
        else
        {
            Model.Minimize(Of(stage));
        }
    }

    /// <summary>Holds a stage at a value, or lets it be better.</summary>
    public Constraint Hold(PlanStage stage, long value) => Model.Add(stage.IsMost() ? Of(stage) >= value : Of(stage) <= value);

    /// <summary>Tells the model what is proven: that a stage can't be better than a value.</summary>
    public void Limit(PlanStage stage, long value) => Model.Add(stage.IsMost() ? Of(stage) <= value : Of(stage) >= value);

    /// <summary>The sum of a stage.</summary>
    protected LinearExpr Of(PlanStage stage) => stage switch
    {
        PlanStage.Pieces => Sum(Made.Select((made, i) => (made, (long)Plan.Problem.Pieces[i].Priority))),
        PlanStage.LotsAndJoins => Sum(Joins.Concat(Open().Select(open => ((IntVar)open.Value, 1L)))),
        PlanStage.Unusable => Sum(Unusable().Select(each => (each.Value, (long)Plan.Lots[each.Key].TenthMg))),
        PlanStage.Colour => Sum(Points),
        _ => Sum(Open().Select(open => ((IntVar)open.Value, (long)Plan.Lots[open.Key].Lot.Wish))),
    };

    private Dictionary<int, BoolVar> Open()
    {
        if (_open.Count > 0)
        {
            return _open;
        }

        foreach (int lot in _taken.Keys)
        {
            _open[lot] = Model.NewBoolVar($"open{lot}");
            // A lot that nothing is taken from stays closed, or its wish would count.
            Model.Add(_open[lot] <= Sum(_taken[lot]));
            Model.Add(Sum(_taken[lot]) <= Plan.Lots[lot].Decimetres * _open[lot]);
        }

        foreach ((int lot, Func<BoolVar, BoundedLinearExpression> rule) in _uses)
        {
            Model.Add(rule(_open[lot]));
        }

        foreach (IGrouping<int, BoolVar> ways in _ways.GroupBy(each => each.Lot, each => each.Way))
        {
            Model.Add(LinearExpr.Sum(ways) == _open[ways.Key]);
        }

        return _open;
    }

    private Dictionary<int, IntVar> Unusable()
    {
        if (_unusable.Count > 0)
        {
            return _unusable;
        }

        foreach ((int lot, BoolVar open) in Open())
        {
            LotStock stock = Plan.Lots[lot];
            IntVar unusable = Model.NewIntVar(0, Math.Min(stock.Decimetres, stock.UsableFrom - 1), $"unusable{lot}");
            BoolVar usable = Model.NewBoolVar($"usable{lot}");
            LinearExpr left = stock.Decimetres - Sum(_taken[lot]);
            Model.Add(left >= stock.UsableFrom * usable);
            Model.Add(unusable >= left - (stock.Decimetres * (1 - open)) - (stock.Decimetres * usable));
            LinearExpr known = Sum(_ways.Where(each => each.Lot == lot && each.Left is > 0 and var rest && rest < stock.UsableFrom).Select(each => ((IntVar)each.Way, each.Left!.Value)));
            Model.Add(unusable >= known);
            _unusable[lot] = unusable;
            _usable[lot] = usable;
        }

        return _unusable;
    }

    private void AddPairs(PartFit part, PartFit main)
    {
        IntVar[,] pairs = new IntVar[part.Groups.Count, main.Groups.Count];
        for (int g = 0; g < part.Groups.Count; g++)
        {
            for (int h = 0; h < main.Groups.Count; h++)
            {
                pairs[g, h] = Model.NewIntVar(0, part.GoesWith(part.Groups[g], main.Groups[h]) ? Wanted(part) : 0, $"pair{part.Index}_{g}_{h}");
            }
        }

        for (int g = 0; g < part.Groups.Count; g++)
        {
            Model.Add(LinearExpr.Sum(Enumerable.Range(0, main.Groups.Count).Select(h => pairs[g, h])) == Counts[part.Index][g]);
        }

        for (int h = 0; h < main.Groups.Count; h++)
        {
            Model.Add(LinearExpr.Sum(Enumerable.Range(0, part.Groups.Count).Select(g => pairs[g, h])) == Counts[main.Index][h]);
        }

        _pairs.Add((part.Index, pairs));
    }

    /// <summary>How many slices of a part from group g stand beside the main part's from group h.</summary>
    protected Func<int, int, long> PairsOf(PartFit part, CpSolver solved)
    {
        IntVar[,] pairs = _pairs.First(each => each.Part == part.Index).Pairs;
        return (g, h) => solved.Value(pairs[g, h]);
    }

    /// <summary>Tells the solver a draft to start from, in every variable of the frame.</summary>
    protected void HintFrame(Draft draft)
    {
        int[] made = draft.Made(Plan);
        for (int i = 0; i < made.Length; i++)
        {
            Model.AddHint(Made[i], made[i]);
        }

        ILookup<(int, int), Slice> slices = draft.Slices.ToLookup(slice => (slice.Part, slice.Group));
        foreach (PartFit part in Plan.Parts)
        {
            for (int g = 0; g < part.Groups.Count; g++)
            {
                Model.AddHint(Counts[part.Index][g], slices[(part.Index, g)].Count());
            }
        }

        foreach ((int index, IntVar[,] pairs) in _pairs)
        {
            HintPairs(draft, Plan.Parts[index], pairs);
        }

        long[] taken = draft.Taken(Plan);
        foreach ((int lot, BoolVar open) in _open)
        {
            Model.AddHint(open, taken[lot] > 0);
        }

        foreach ((int lot, IntVar unusable) in _unusable)
        {
            LotStock stock = Plan.Lots[lot];
            Model.AddHint(_usable[lot], stock.Decimetres - taken[lot] >= stock.UsableFrom);
            Model.AddHint(unusable, stock.Unusable(taken[lot]) / stock.TenthMg);
        }
    }

    private void HintPairs(Draft draft, PartFit part, IntVar[,] pairs)
    {
        int[,] counted = new int[pairs.GetLength(0), pairs.GetLength(1)];
        foreach (Copy copy in draft.Copies.Where(copy => copy.Piece == part.Piece))
        {
            counted[copy.Slices.First(slice => slice.Part == part.Index).Group, copy.Slices.First(slice => slice.Part == part.Main!.Index).Group]++;
        }

        for (int g = 0; g < pairs.GetLength(0); g++)
        {
            for (int h = 0; h < pairs.GetLength(1); h++)
            {
                Model.AddHint(pairs[g, h], counted[g, h]);
            }
        }
    }
}
