using Google.OrTools.Sat;
using GuildStash.Planning.Answers;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Patterns;

namespace GuildStash.Planning.Model;

/// <summary>A stage as it was settled.</summary>
/// <param name="Bound">In whole units, rounded to the side that is still possible.</param>
internal readonly record struct SettledStage(PlanStage Stage, long Value, long? Bound)
{
    public bool IsProven => Bound == Value;
}

/// <summary>
/// Settles one stage after the other. Patterns of lots, and on large problems the small model, give a bound and say which lots a good
/// plan opens; the full model, on those lots and where it is small enough on everything, looks for the plan. The best draft is never
/// given up for a worse one.
/// </summary>
internal sealed class StagedSearch(FittedPlan plan, PlanTime time, IProgress<PlanProgress>? progress)
{
    /// <summary>Lots in joined slices that the full model takes on in one go: what solved well on 2 cores.</summary>
    public const long LargestModel = 12_000;

    /// <summary>Lots in joined slices up to which the full model proves its answer by itself, sooner than patterns do.</summary>
    public const long SmallestForPatterns = 250;

    /// <summary>Lots that fit parts, each counted for each part, beyond which patterns are not mixed in time.</summary>
    public const int LargestForPatterns = 8_000;

    /// <summary>Variables of the small model beyond which only its fractions are asked: whole numbers would take gigabytes and find nothing in time.</summary>
    public const int LargestTotals = 20_000;

    /// <summary>Variables of the full model beyond which the best draft stays as it is: such a search holds more than a gigabyte and found nothing in a minute.</summary>
    public const int LargestSearch = 45_000;

    /// <summary>Variables beyond which the fractions of the second stage are not there in time either.</summary>
    public const int LargestFractions = 50_000;

    /// <summary>Part of the time left that a stage may take; what it does not need goes to the next.</summary>
    private static readonly double[] Shares = [0.6, 0.55, 0.6, 0.7, 1];

    /// <summary>Part of a stage's time that patterns may take.</summary>
    private static readonly double[] PatternShares = [0.4, 0.6, 0.2, 0.2, 0.4];

    private readonly List<SettledStage> _settled = [];
    private Func<PlanAnswer>? _soFar;

    public Draft Best { get; private set; } = Draft.Empty;

    public IReadOnlyList<SettledStage> Settled => _settled;

    public void Run()
    {
        Offer(Hands());
        foreach (PlanStage stage in plan.Stages)
        {
            _settled.Add(Settle(stage));
            _soFar = null;
            Tell(stage, _settled[^1].Value, _settled[^1].Bound);
        }
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
        foreach (Draft draft in drafts)
        {
            if (Score.Of(plan, draft).CompareTo(Score.Of(plan, Best)) > 0)
            {
                Best = draft;
                _soFar = null;
            }
        }

        // In a later stage a plan may turn up that is better in an earlier one. What was proven with the worse value held holds for it too.
        for (int i = 0; i < _settled.Count; i++)
        {
            _settled[i] = _settled[i] with { Value = ValueOf(_settled[i].Stage) };
        }
    }

    private long ValueOf(PlanStage stage) => Score.Of(plan, Best)[stage];

    /// <summary>Bounds first, the cheapest before the others, then a better draft; each is left out once nothing is open any more.</summary>
    private SettledStage Settle(PlanStage stage)
    {
        long? bound = Obvious(stage);
        Tell(stage, ValueOf(stage), bound);
        if (bound == ValueOf(stage) || time.IsOver)
        {
            return new(stage, ValueOf(stage), bound);
        }

        double until = time.Left * (1 - Shares[(int)stage]);
        bool everything = SliceModel.SizeOf(plan, ModelScope.Everything) <= LargestModel;
        HashSet<int> opened = [];
        bound = Tighter(stage, bound, Bounded(stage, time.Left - until, opened));
        Tell(stage, ValueOf(stage), bound);
        if (bound != ValueOf(stage) && (!everything || opened.Count > 0))
        {
            Improve(stage, (time.Left - until) * (everything ? 0.6 : 1), Scope(opened), bound);
        }

        if (bound != ValueOf(stage) && everything)
        {
            bound = Tighter(stage, bound, Improve(stage, time.Left - until, ModelScope.Everything, bound));
        }

        return new(stage, ValueOf(stage), bound);
    }

    /// <summary>A bound by what suits the problem's size, with lots that a good plan may open.</summary>
    private long? Bounded(PlanStage stage, double seconds, HashSet<int> opened)
    {
        long size = SliceModel.SizeOf(plan, ModelScope.Everything);
        int pairs = plan.Parts.Sum(part => part.Groups.Sum(group => group.Candidates.Count));
        if (size > SmallestForPatterns && pairs <= LargestForPatterns)
        {
            return BoundFromPatterns(stage, seconds * PatternShares[(int)stage], opened);
        }

        if (stage > PlanStage.LotsAndJoins)
        {
            return null;
        }

        // A small problem's full model has bounds as good by itself, but for the first stage.
        long? bound = BoundFromFractions(stage, seconds, opened);
        return bound != ValueOf(stage) && (stage == PlanStage.Pieces || size > LargestModel) && size > 0
            ? Tighter(stage, bound, BoundFromTotals(stage, seconds * (size <= LargestModel ? 0.3 : 0.4), opened))
            : bound;
    }

    private long? BoundFromPatterns(PlanStage stage, double seconds, HashSet<int> opened)
    {
        PatternSearch search = new(plan, time, stage, () => ValueOf(stage), patterns => Offer([GreedyHand.Guided(plan, Quotas(patterns), () => time.SecondsOnClock <= 0.01)]));
        search.Run(_settled, Best, seconds);
        opened.UnionWith(search.Opened);
        return Whole(stage, search.Bound);
    }

    /// <summary>What patterns give, by part and lot. A pattern's shares need not be whole; the hand takes what it needs.</summary>
    private static Dictionary<(int Part, int Lot), long> Quotas(IEnumerable<LotPattern> patterns) => patterns
        .SelectMany(pattern => pattern.Uses, (pattern, use) => (Key: (use.Key.Part.Index, pattern.Lot.Index), Worked: (use.Value.Whole * use.Key.Part.Need) + (long)Math.Round(use.Value.Worked)))
        .GroupBy(each => each.Key, each => each.Worked)
        .ToDictionary(each => each.Key, each => each.Sum());

    /// <summary>What needs no search: all wanted pieces, or nothing at all.</summary>
    private long? Obvious(PlanStage stage) => stage switch
    {
        PlanStage.Pieces => plan.Problem.Pieces.Select((piece, i) => plan.PartsOf[i].All(part => part.Groups.Count >= part.Slices) ? (long)piece.Wanted * piece.Priority : 0).Sum(),
        PlanStage.Wishes => plan.Problem.Lots.Sum(lot => (long)lot.Wish),
        _ => 0,
    };

    /// <summary>In the first stage its fractions also lead a hand, which often comes near to the bound at once.</summary>
    private long? BoundFromFractions(PlanStage stage, double seconds, HashSet<int> opened)
    {
        TotalModel model = new(plan, counted: stage != PlanStage.Pieces);
        if (stage != PlanStage.Pieces && model.Size > LargestFractions)
        {
            return null;
        }

        foreach (SettledStage before in _settled)
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
            Offer([GreedyHand.Guided(plan, quotas, () => time.SecondsOnClock <= 0.01)]);
        }

        return Whole(stage, relaxed.Bound);
    }

    private long? BoundFromTotals(PlanStage stage, double seconds, HashSet<int> opened)
    {
        TotalModel model = new(plan, counted: stage != PlanStage.Pieces);
        if (model.Size > LargestTotals)
        {
            return null;
        }

        Prepare(model, stage);
        model.Hint(Best);
        using CpSolver solver = new();
        SearchResult result = CpRun.Solve(solver, model.Model, time, seconds);
        if (result.Found)
        {
            opened.UnionWith(model.Opened(solver));
        }

        return Whole(stage, result.Bound);
    }

    private long? Improve(PlanStage stage, double seconds, ModelScope scope, long? known)
    {
        SliceModel model = new(plan, scope, Best);
        if (model.Size > LargestSearch)
        {
            return null;
        }

        Prepare(model, stage);
        if (known is { } limit)
        {
            model.Limit(stage, limit);
        }

        model.Hint(Best);
        using CpSolver solver = new();
        SearchResult result = CpRun.Solve(solver, model.Model, time, seconds, (value, bound) => Tell(stage, value, Tighter(stage, known, Whole(stage, bound))));
        if (result.Found)
        {
            Draft read = model.Read(solver);
            Offer(stage == PlanStage.Pieces ? [read, GreedyHand.Complete(plan, read, Reach.BestFit, Turn.Value)] : [read]);
        }

        return Whole(stage, result.Bound);
    }

    private void Prepare(ModelFrame model, PlanStage stage)
    {
        foreach (SettledStage before in _settled)
        {
            model.Hold(before.Stage, before.Value);
        }

        model.Hold(stage, ValueOf(stage));
        model.Seek(stage);
    }

    /// <summary>The lots of the best draft and those the small model opened, and as many joined slices as fit.</summary>
    private ModelScope Scope(HashSet<int> opened)
    {
        long[] taken = Best.Taken(plan);
        ModelScope scope = new(lot => taken[lot] > 0 || opened.Contains(lot), int.MaxValue);
        for (int joined = 64; SliceModel.SizeOf(plan, scope) > LargestModel && joined > 1; joined /= 2)
        {
            scope = scope with { MostJoined = joined };
        }

        return scope;
    }

    /// <summary>A bound in whole units; none where a plan that was found contradicts it, which a search that was cut off early may say.</summary>
    private long? Whole(PlanStage stage, double? bound) => bound is not { } known
        ? null
        : stage.IsMost()
            ? (long)Math.Floor(known + 1e-6) is var most && most >= ValueOf(stage) ? most : null
            : (long)Math.Ceiling(known - 1e-6) is var least && least <= ValueOf(stage) ? least : null;

    private static long? Tighter(PlanStage stage, long? one, long? other) => one is null || other is null
        ? one ?? other
        : stage.IsMost() ? Math.Min(one.Value, other.Value) : Math.Max(one.Value, other.Value);

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
        (Draft draft, SettledStage[] settled) = (Best, [.. _settled]);
        return () => AnswerWriter.Write(plan, draft, settled, time);
    }
}
