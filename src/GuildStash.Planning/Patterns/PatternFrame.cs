using Google.OrTools.Sat;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;

namespace GuildStash.Planning.Patterns;

/// <summary>
/// All that a plan is beside its lots' patterns: pieces, slices, joined slices, and the rows in which patterns and slices meet. The
/// patterns themselves are added in <see cref="PatternMaster"/>. Slices that no pattern gives are lacking, at a price that no plan pays.
/// </summary>
internal sealed class PatternFrame : ModelFrame
{
    /// <summary>Ways of using one lot that are listed at most; lots with more are left without a list.</summary>
    private const int MostWays = 400;

    private readonly bool _exact;
    private readonly Exclusions _without;
    private readonly IntVar _opened;
    private readonly IntVar _joins;
    private readonly List<(IntVar Var, long Factor)> _lacking = [];

    /// <param name="stage">The stage that is sought. Where rests are counted, patterns may not give more than slices take.</param>
    /// <param name="without">What no plan needs that is good enough.</param>
    public PatternFrame(FittedPlan plan, PlanStage stage, Exclusions without)
        : base(plan, without)
    {
        (_exact, _without) = (stage == PlanStage.Unusable, without);
        Items = [.. plan.Lots.Select(_ => new List<PatternItem>())];
        _opened = Model.NewIntVar(without.Opened.Low, Math.Min(without.Opened.High, plan.Lots.Count), "opened");
        Joins.Add((_opened, 1));
        Opened = Model.Add(_opened >= 0).Index;
        List<IntVar> counts = [];
        foreach (PartFit part in plan.Parts)
        {
            for (int g = 0; g < part.Groups.Count; g++)
            {
                AddGroup(part, g);
                counts.Add(Counts[part.Index][g]);
            }
        }

        Frame();
        long most = Joins.Skip(1).Sum(each => each.Var.Domain.Max() * Math.Max(0, each.Factor));
        _joins = Model.NewIntVar(without.Joins.Low, Math.Max(without.Joins.Low, Math.Min(without.Joins.High, most)), "joins");
        Model.Add(Sum(Joins.Skip(1)) - _joins == 0);
        int[][] lots = [[_joins.Index], [_opened.Index], [.. Sets.Keys]];
        int[][] pieces = [[.. Made.Select(each => each.Index)], [.. counts.Select(each => each.Index)], [.. Joins.Skip(1).Select(each => each.Var.Index)]];
        Splits = stage == PlanStage.Pieces ? [.. pieces, .. lots] : [.. lots, .. pieces];
    }

    /// <summary>What each lot can give to.</summary>
    public IReadOnlyList<List<PatternItem>> Items { get; }

    /// <summary>Row in which opened lots are at least the patterns used.</summary>
    public int Opened { get; }

    /// <summary>Row in which whole and joined slices make up a group's slices.</summary>
    public Dictionary<(int Part, int Group), int> Whole { get; } = [];

    /// <summary>Rows of a set's joined slices: their length, and the number of shares in them.</summary>
    public Dictionary<(int Part, int Group, int Set), (int Worked, int Shares)> Joined { get; } = [];

    /// <summary>Sets by the variable that counts their joined slices.</summary>
    public Dictionary<int, (int Part, int Group, int Set)> Sets { get; } = [];

    /// <summary>Rows of held stages that patterns add to.</summary>
    public Dictionary<PlanStage, int> Held { get; } = [];

    /// <summary>Variables that are whole in any plan, by index: those that decide most before the others.</summary>
    public int[][] Splits { get; }

    public void HoldRow(PlanStage stage, long value)
    {
        int row = Hold(stage, value).Index;
        if (stage > PlanStage.LotsAndJoins)
        {
            Held[stage] = row;
        }
    }

    /// <param name="lacking">What a lacking slice costs.</param>
    public void Seek(PlanStage stage, long lacking)
    {
        LinearExpr price = Sum(_lacking.Select(each => (each.Var, lacking)));
        if (stage.IsMost())
        {
            Model.Maximize(Of(stage) - price);
        }
        else
        {
            Model.Minimize(Of(stage) + price);
        }
    }

    /// <summary>What no plan has that costs no more than the slack beyond the bound that the prices give.</summary>
    /// <param name="slack">In the units of what is made small; not negative.</param>
    public Exclusions Beyond(double slack, PatternPrices prices, IReadOnlyList<PatternKnapsack> lots, Exclusions known)
    {
        Exclusions beyond = new();
        for (int l = 0; l < lots.Count; l++)
        {
            PatternKnapsack lot = lots[l];
            double best = lot.Best(prices).Worth;
            if (lot.Ways(prices, best - slack, MostWays, known.Ways.GetValueOrDefault(l)) is { } ways)
            {
                beyond.KeepTo(l, ways);
            }

            foreach ((PatternItem item, double whole, double share) in lot.Forced(prices))
            {
                if (item.MostWhole > 0 && best - whole > slack)
                {
                    beyond.NoWhole(item.Part.Index, item.Group, item.Lot.Lot);
                }

                if (item.JoinSet is not null && best - share > slack)
                {
                    beyond.NoShare(item.Part.Index, item.Group, item.Lot.Lot);
                }
            }
        }

        (long Low, long High) Limits(int variable)
        {
            (double cost, double low, double high) = prices.Left[variable];
            return cost > 0
                ? ((long)low, (long)Math.Min(high, Math.Floor(low + (slack / cost))))
                : cost < 0 ? ((long)Math.Max(low, Math.Ceiling(high + (slack / cost))), (long)high) : ((long)low, (long)high);
        }

        for (int i = 0; i < Made.Length; i++)
        {
            beyond.LimitMade(i, Limits(Made[i].Index));
        }

        foreach (PartFit part in Plan.Parts)
        {
            for (int g = 0; g < part.Groups.Count; g++)
            {
                beyond.LimitCount(part.Index, g, Limits(Counts[part.Index][g].Index));
            }
        }

        beyond.LimitLots(Limits(_opened.Index), Limits(_joins.Index));
        foreach ((int variable, (int part, int group, int set)) in Sets)
        {
            beyond.LimitJoined(part, group, set, Limits(variable));
        }

        return beyond;
    }

    private IntVar Lacking(PartFit part)
    {
        IntVar lacking = Model.NewIntVar(0, Wanted(part), "lacking");
        _lacking.Add((lacking, 1));
        return lacking;
    }

    private void AddGroup(PartFit part, int g)
    {
        ShadeGroup group = part.Groups[g];
        List<IntVar> made = [Lacking(part)];
        ModelScope scope = ModelScope.Everything(_without);
        Dictionary<int, (int Set, int Most)> joined = [];
        for (int s = 0; s < group.JoinSets.Count && part.Need > 1; s++)
        {
            Candidate[] lots = [.. scope.Shares(part, g, s)];
            int most = scope.Slots(part, g, s, lots.Length, Wanted(part));
            if (most == 0)
            {
                continue;
            }

            made.Add(AddSet(part, g, s, most));
            foreach (Candidate lot in lots)
            {
                joined[lot.Lot] = (s, most);
            }
        }

        Whole[(part.Index, g)] = AddRow(LinearExpr.Sum(made) - Counts[part.Index][g]);
        foreach (Candidate lot in group.Candidates)
        {
            int whole = _without.AllowsWhole(part.Index, g, lot.Lot) ? (int)Math.Min(Wanted(part), lot.Reach / part.Need) : 0;
            (int Set, int Most)? share = joined.TryGetValue(lot.Lot, out (int, int) known) ? known : null;
            if (whole > 0 || share is not null)
            {
                Items[lot.Lot].Add(new(part, g, share?.Set, lot, whole, share?.Most ?? 0));
            }
        }
    }

    private IntVar AddSet(PartFit part, int g, int set, int most)
    {
        IntVar joined = Model.NewIntVar(0, most, "joined");
        IntVar shares = Model.NewIntVar(0, (long)part.MostLots * most, "shares");
        Joins.Add((shares, 1));
        Joins.Add((joined, -1));
        Sets[joined.Index] = (part.Index, g, set);
        Joined[(part.Index, g, set)] = (AddRow((part.Need * Lacking(part)) - (part.Need * joined)), Model.Add(shares >= 0).Index);
        Model.Add(shares >= 2 * joined);
        Model.Add(shares <= (long)part.MostLots * joined);
        return joined;
    }

    private int AddRow(LinearExpr sum) => Model.Add(_exact ? sum == 0 : sum >= 0).Index;
}
