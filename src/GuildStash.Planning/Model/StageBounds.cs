using Google.OrTools.Sat;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Patterns;

namespace GuildStash.Planning.Model;

/// <summary>
/// Bounds of a stage by what suits the problem's size: patterns of lots, or the small model and its fractions. On the way plans turn up,
/// lots that a good plan opens, and what no good plan has.
/// </summary>
internal sealed class StageBounds(FittedPlan plan, PlanTime time, PlanState state)
{
    /// <summary>Lots that fit parts, each counted for each part, beyond which patterns are not mixed in time.</summary>
    public const int LargestForPatterns = 8_000;

    /// <summary>Variables of the small model beyond which only its fractions are asked: whole numbers would take gigabytes and find nothing in time.</summary>
    public const int LargestTotals = 20_000;

    /// <summary>Variables beyond which the fractions of the second stage are not there in time either.</summary>
    public const int LargestFractions = 50_000;

    /// <summary>Part of a stage's time that patterns may take.</summary>
    private static readonly double[] PatternShares = [0.4, 0.6, 0.2, 0.2, 0.4];

    /// <summary>What needs no search: all wanted pieces, or nothing at all.</summary>
    public long? Obvious(PlanStage stage) => stage switch
    {
        PlanStage.Pieces => plan.Problem.Pieces.Select((piece, i) => plan.PartsOf[i].All(part => part.Groups.Count >= part.Slices) ? (long)piece.Wanted * piece.Priority : 0).Sum(),
        PlanStage.Wishes => plan.Problem.Lots.Sum(lot => (long)lot.Wish),
        _ => 0,
    };

    /// <summary>Whether patterns suit the size.</summary>
    public bool SuitsPatterns(Exclusions without) =>
        SliceModel.SizeOf(plan, ModelScope.Everything(without)) > time.Options.PatternsBeyond
        && plan.Parts.Sum(part => part.Groups.Sum(group => group.Candidates.Count)) <= LargestForPatterns;

    /// <param name="opened">Gets the lots that a good plan may open.</param>
    /// <param name="isEasy">Asked when patterns are mixed for the first time: whether the rest is done better without them.</param>
    public long? ByPatterns(PatternSearch search, PlanStage stage, double seconds, HashSet<int> opened, Func<bool> isEasy)
    {
        search.Run(state.Before(stage), state.Best, seconds * PatternShares[(int)stage], isEasy);
        opened.UnionWith(search.Opened);
        return state.Whole(stage, search.Bound);
    }

    /// <param name="opened">Gets the lots that a good plan may open.</param>
    public long? ByTotals(PlanStage stage, double seconds, HashSet<int> opened)
    {
        if (stage > PlanStage.LotsAndJoins)
        {
            return null;
        }

        // A small problem's full model has bounds as good by itself, but for the first stage.
        long size = SliceModel.SizeOf(plan, ModelScope.Everything(new()));
        long? bound = ByFractions(stage, seconds, opened);
        return bound != state.ValueOf(stage) && (stage == PlanStage.Pieces || size > StagedSearch.LargestModel) && size > 0
            ? PlanState.Tighter(stage, bound, ByWholeTotals(stage, seconds * (size <= StagedSearch.LargestModel ? 0.3 : 0.4), opened))
            : bound;
    }

    /// <summary>What patterns give, by part and lot. A pattern's shares need not be whole; the hand takes what it needs.</summary>
    public Draft ByHand(IEnumerable<LotPattern> patterns) => GreedyHand.Guided(
        plan,
        patterns
            .SelectMany(pattern => pattern.Uses, (pattern, use) => (Key: (use.Key.Part.Index, pattern.Lot.Index), Worked: (use.Value.Whole * use.Key.Part.Need) + (long)Math.Round(use.Value.Worked)))
            .GroupBy(each => each.Key, each => each.Worked)
            .ToDictionary(each => each.Key, each => each.Sum()),
        () => time.SecondsOnClock <= 0.01);

    /// <summary>In the first stage its fractions also lead a hand, which often comes near to the bound at once.</summary>
    private long? ByFractions(PlanStage stage, double seconds, HashSet<int> opened)
    {
        TotalModel model = new(plan, counted: stage != PlanStage.Pieces);
        if (stage != PlanStage.Pieces && model.Size > LargestFractions)
        {
            return null;
        }

        foreach (SettledStage before in state.Before(stage))
        {
            model.Hold(before.Stage, before.Value);
        }

        model.Seek(stage);
        if (LinearBound.Of(model.Model.Model, time.Options.Seed is null ? Math.Min(seconds, time.SecondsOnClock) : time.SecondsOnClock) is not { } relaxed)
        {
            return null;
        }

        Dictionary<(int Part, int Lot), long> quotas = model.Quotas(relaxed.Values);
        if (model.Size > LargestTotals)
        {
            opened.UnionWith(quotas.Keys.Select(each => each.Lot));
        }

        if (stage == PlanStage.Pieces)
        {
            state.Offer([GreedyHand.Guided(plan, quotas, () => time.SecondsOnClock <= 0.01)]);
        }

        return state.Whole(stage, relaxed.Bound);
    }

    private long? ByWholeTotals(PlanStage stage, double seconds, HashSet<int> opened)
    {
        TotalModel model = new(plan, counted: stage != PlanStage.Pieces);
        if (model.Size > LargestTotals)
        {
            return null;
        }

        state.Prepare(model, stage, state.ValueOf(stage));
        model.Hint(state.Best);
        using CpSolver solver = new();
        SearchResult result = CpRun.Solve(solver, model.Model, time, seconds);
        if (result.Found)
        {
            opened.UnionWith(model.Opened(solver));
        }

        return state.Whole(stage, result.Bound);
    }
}
