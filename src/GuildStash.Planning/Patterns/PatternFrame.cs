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
    private readonly bool _exact;
    private readonly List<(IntVar Var, long Factor)> _lacking = [];

    /// <param name="exact">Whether patterns may not give more than slices take, which matters where rests are counted.</param>
    public PatternFrame(FittedPlan plan, bool exact)
        : base(plan)
    {
        _exact = exact;
        Items = [.. plan.Lots.Select(_ => new List<PatternItem>())];
        IntVar opened = Model.NewIntVar(0, plan.Lots.Count, "opened");
        Joins.Add((opened, 1));
        Opened = Model.Add(opened >= 0).Index;
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
        Splits = [.. new[] { Made, [opened], [.. counts], [.. Joins.Skip(1).Select(each => each.Var)] }.Select(set => set.Select(each => each.Index).ToArray())];
    }

    /// <summary>What each lot can give to.</summary>
    public IReadOnlyList<List<PatternItem>> Items { get; }

    /// <summary>Row in which opened lots are at least the patterns used.</summary>
    public int Opened { get; }

    /// <summary>Row in which whole and joined slices make up a group's slices.</summary>
    public Dictionary<(int Part, int Group), int> Whole { get; } = [];

    /// <summary>Rows of a set's joined slices: their length, and the number of shares in them.</summary>
    public Dictionary<(int Part, int Group, int Set), (int Worked, int Shares)> Joined { get; } = [];

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
        int?[] setOf = new int?[group.Candidates.Count];
        int[] mostOf = new int[group.Candidates.Count];
        for (int s = 0; s < group.JoinSets.Count && part.Need > 1; s++)
        {
            int most = Math.Min(Wanted(part), group.JoinSets[s].Length - 1);
            made.Add(AddSet(part, g, s, most));
            foreach (int i in group.JoinSets[s])
            {
                (setOf[i], mostOf[i]) = (s, most);
            }
        }

        Whole[(part.Index, g)] = AddRow(LinearExpr.Sum(made) - Counts[part.Index][g]);
        for (int i = 0; i < group.Candidates.Count; i++)
        {
            Candidate lot = group.Candidates[i];
            Items[lot.Lot].Add(new(part, g, setOf[i], lot, (int)Math.Min(Wanted(part), lot.Reach / part.Need), mostOf[i]));
        }
    }

    private IntVar AddSet(PartFit part, int g, int set, int most)
    {
        IntVar joined = Model.NewIntVar(0, most, "joined");
        IntVar shares = Model.NewIntVar(0, (long)part.MostLots * most, "shares");
        Joins.Add((shares, 1));
        Joins.Add((joined, -1));
        Joined[(part.Index, g, set)] = (AddRow((part.Need * Lacking(part)) - (part.Need * joined)), Model.Add(shares >= 0).Index);
        Model.Add(shares >= 2 * joined);
        Model.Add(shares <= (long)part.MostLots * joined);
        return joined;
    }

    private int AddRow(LinearExpr sum) => Model.Add(_exact ? sum == 0 : sum >= 0).Index;
}
