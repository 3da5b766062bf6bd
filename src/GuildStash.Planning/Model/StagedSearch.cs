using Google.OrTools.Sat;
using GuildStash.Planning.Answers;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Patterns;

namespace GuildStash.Planning.Model;

/// <summary>
/// Settles one stage after the other. Patterns of lots, and on large problems the small model, give a bound, say which lots a good
/// plan opens and what no better plan has; the full model looks for the plan in what is left. Where time is left at the end, stages
/// that are not proven are settled again.
/// </summary>
internal sealed class StagedSearch(FittedPlan plan, PlanTime time, IProgress<PlanProgress>? progress)
{
    /// <summary>Lots in joined slices that the full model takes on in one go: what solved well on 2 cores.</summary>
    public const long LargestModel = 12_000;

    /// <summary>Variables of the full model beyond which the best draft stays as it is: such a search holds more than a gigabyte and found nothing in a minute.</summary>
    public const int LargestSearch = 45_000;

    /// <summary>Lots in joined slices up to which the full model proves a stage best, case by case.</summary>
    private const long SmallEnough = 400;

    /// <summary>Part of the time left that is worth finding the cases.</summary>
    private const double CaseShare = 0.25;

    /// <summary>Part of a stage's time in which all is searched at once, before it is split into cases: most small problems need no more.</summary>
    private const double AllShare = 0.2;

    /// <summary>Seconds that are worth another round.</summary>
    private const double WorthARound = 0.1;

    /// <summary>Part of the time left that a stage may take; what it does not need goes to the next.</summary>
    private static readonly double[] Shares = [0.6, 0.55, 0.6, 0.7, 1];

    private readonly PlanState _state = new(plan);
    private Exclusions _common = new();
    private IReadOnlyList<Exclusions> _cases = [new()];
    private Func<PlanAnswer>? _soFar;

    public Draft Best => _state.Best;

    public IReadOnlyList<SettledStage> Settled => _state.Settled;

    public void Run()
    {
        Offer(Hands());
        foreach (PlanStage stage in plan.Stages)
        {
            Round(stage);
        }

        double before = double.MaxValue;
        while (before - time.Left > WorthARound && time.Left > WorthARound && !time.IsOver && _cases.All(IsSmall) && Settled.Any(each => !each.IsProven))
        {
            before = time.Left;
            Round(Settled.First(each => !each.IsProven).Stage);
        }
    }

    private void Round(PlanStage stage)
    {
        _state.Settle(stage, Settle(stage));
        _soFar = null;
        SettledStage settled = Settled.First(each => each.Stage == stage);
        Tell(stage, settled.Value, settled.Bound);
    }

    /// <summary>What hands without a planner make, each in three orders. The two that anybody would try are never cut short but by the clock.</summary>
    private IEnumerable<Draft> Hands()
    {
        foreach (Turn turn in Enum.GetValues<Turn>().Where(turn => turn == Turn.Priority || !time.Cancellation.IsCancellationRequested))
        {
            foreach (Reach reach in Enum.GetValues<Reach>())
            {
                yield return GreedyHand.Make(plan, reach, turn, () => time.SecondsOnClock <= 0.01);
            }
        }
    }

    private void Offer(IEnumerable<Draft> drafts)
    {
        if (_state.Offer(drafts))
        {
            _soFar = null;
        }
    }

    private long SizeOf(Exclusions without) => SliceModel.SizeOf(plan, ModelScope.Everything(without));

    private bool IsSmall(Exclusions without) => SizeOf(without) <= SmallEnough;

    /// <summary>Bounds first, the cheapest before the others, then a better draft; each is left out once nothing is open any more.</summary>
    private long? Settle(PlanStage stage)
    {
        StageBounds bounds = new(plan, time, _state);
        long? bound = PlanState.Tighter(stage, bounds.Obvious(stage), Settled.FirstOrDefault(each => each.Stage == stage).Bound);
        Tell(stage, _state.ValueOf(stage), bound);
        if (bound == _state.ValueOf(stage) || time.IsOver)
        {
            return bound;
        }

        double seconds = time.Left * Shares[(int)stage];
        double until = time.Left - seconds;
        if (!bounds.SuitsPatterns(_common))
        {
            HashSet<int> opened = [];
            bound = PlanState.Tighter(stage, bound, bounds.ByTotals(stage, seconds, opened));
            Tell(stage, _state.ValueOf(stage), bound);
            return bound == _state.ValueOf(stage) ? bound : Search(stage, until, _cases, opened, bound);
        }

        using PatternSearch patterns = new(plan, _common, time, stage, () => _state.ValueOf(stage), mixed => Offer([bounds.ByHand(mixed)]));
        return ByPatterns(stage, until, bounds, patterns, bound);
    }

    /// <summary>Leaves out what patterns prove that no better plan has, searches the rest, and then what no plan has that is as good.</summary>
    private long? ByPatterns(PlanStage stage, double until, StageBounds bounds, PatternSearch patterns, long? bound)
    {
        HashSet<int> opened = [];
        bound = PlanState.Tighter(stage, bound, bounds.ByPatterns(patterns, stage, time.Left - until, opened, () => Split(Better()).All(IsSmall)));
        Tell(stage, _state.ValueOf(stage), bound);

        // What patterns say of lots and joins, in which the stages after it change little, is worth looking at case by case.
        bool apart = stage == PlanStage.LotsAndJoins && _cases.Count == 1;
        if (bound != _state.ValueOf(stage))
        {
            Exclusions all = _common.And(Better());
            bool small = IsSmall(all);
            if (small)
            {
                bound = PlanState.Tighter(stage, bound, _state.Whole(stage, Improve(stage, (time.Left - until) * AllShare, ModelScope.Everything(all), bound, isBetter: true)));
            }

            if (bound != _state.ValueOf(stage))
            {
                IReadOnlyList<Exclusions> better = small && apart ? patterns.Cases(_state.BetterThan(stage), (time.Left - until) * CaseShare) : Split(Better());
                bound = Search(stage, until, better, small ? [] : opened, bound);
            }
        }

        long value = _state.ValueOf(stage);
        _common = _common.And(patterns.Beyond(value));
        _cases = Split(_common);
        if (apart && _cases.All(IsSmall) && patterns.Cases(value, time.Left * CaseShare) is { Count: > 0 } cases)
        {
            _cases = [.. cases.Select(_common.And)];
        }

        return bound;

        Exclusions Better() => patterns.Beyond(_state.BetterThan(stage));
        IReadOnlyList<Exclusions> Split(Exclusions without) => [.. _cases.Select(each => each.And(without))];
    }

    /// <summary>Looks for better plans, first among the lots that a good plan may open, then in each case among all that are left.</summary>
    private long? Search(PlanStage stage, double until, IReadOnlyList<Exclusions> cases, HashSet<int> opened, long? bound)
    {
        bool everything = cases.All(each => SizeOf(each) <= LargestModel);
        if (!everything || opened.Count > 0)
        {
            Improve(stage, (time.Left - until) * (everything ? 0.6 : 1), Scope(opened), bound, isBetter: false);
        }

        if (!everything || bound == _state.ValueOf(stage))
        {
            return bound;
        }

        List<long?> proven = [];
        for (int i = 0; i < cases.Count; i++)
        {
            double share = (time.Left - until) / (cases.Count - i);
            proven.Add(Improve(stage, share, ModelScope.Everything(cases[i]), bound, isBetter: true));
        }

        // Where there is no case there is no better plan.
        return cases.Count == 0 ? _state.ValueOf(stage) : PlanState.Tighter(stage, bound, _state.Whole(stage, PlanState.Weakest(stage, proven)));
    }

    /// <param name="isBetter">Whether only plans that are better than the best so far are sought; else the best leads the search.</param>
    /// <returns>What no plan in the scope is better than; null where nothing is proven.</returns>
    private long? Improve(PlanStage stage, double seconds, ModelScope scope, long? known, bool isBetter)
    {
        SliceModel model = new(plan, scope, isBetter ? Draft.Empty : Best);
        if (model.Size > LargestSearch)
        {
            return null;
        }

        _state.Prepare(model, stage, isBetter ? _state.BetterThan(stage) : _state.ValueOf(stage));
        if (known is { } limit)
        {
            model.Limit(stage, limit);
        }

        model.Hint(Best);
        long before = _state.ValueOf(stage);
        using CpSolver solver = new();
        SearchResult result = CpRun.Solve(solver, model.Model, time, seconds, (value, bound) => Tell(stage, value, known));
        if (result.Found)
        {
            Draft read = model.Read(solver);
            Offer(stage == PlanStage.Pieces ? [read, GreedyHand.Complete(plan, read, Reach.BestFit, Turn.Value)] : [read]);
        }

        return isBetter && result.Impossible ? before : PlanState.Rounded(stage, result.Bound);
    }

    /// <summary>The lots of the best draft and those the small model opened, and as many joined slices as fit.</summary>
    private ModelScope Scope(HashSet<int> opened)
    {
        long[] taken = Best.Taken(plan);
        ModelScope scope = new(lot => taken[lot] > 0 || opened.Contains(lot), int.MaxValue, new());
        for (int joined = 64; SliceModel.SizeOf(plan, scope) > LargestModel && joined > 1; joined /= 2)
        {
            scope = scope with { MostJoined = joined };
        }

        return scope;
    }

    /// <summary>Also from the solver's threads; the draft and the settled stages change only between searches.</summary>
    private void Tell(PlanStage stage, double value, double? bound)
    {
        if (progress is not null)
        {
            progress.Report(new(stage, stage.Shown(value), bound is { } known ? stage.Shown(known) : null, _soFar ??= SoFar()));
        }
    }

    private Func<PlanAnswer> SoFar()
    {
        (Draft draft, SettledStage[] settled) = (Best, [.. Settled]);
        return () => AnswerWriter.Write(plan, draft, settled, time);
    }
}
