using Google.OrTools.Sat;
using GuildStash.Planning.Answers;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Model;

/// <summary>A stage as it was settled.</summary>
/// <param name="Bound">In whole units, rounded to the side that is still possible.</param>
internal readonly record struct SettledStage(PlanStage Stage, long Value, long? Bound)
{
    public bool IsProven => Bound == Value;
}

/// <summary>
/// Settles one stage after the other. The small model gives a bound and says which lots a good plan opens; the full model, on
/// everything where it is small enough and else on those lots, looks for the plan. The best draft is never given up for a worse one.
/// </summary>
internal sealed class StagedSearch(FittedPlan plan, PlanTime time, IProgress<PlanProgress>? progress)
{
    /// <summary>Lots in joined slices that the full model takes on in one go: what solved well on 2 cores.</summary>
    public const long LargestModel = 12_000;

    /// <summary>Variables of the small model beyond which only its fractions are asked: whole numbers would take gigabytes and find nothing in time.</summary>
    public const int LargestTotals = 20_000;

    /// <summary>Variables of the full model beyond which the best draft stays as it is: such a search holds more than a gigabyte and found nothing in a minute.</summary>
    public const int LargestSearch = 45_000;

    /// <summary>Variables beyond which the fractions of the second stage are not there in time either.</summary>
    public const int LargestFractions = 50_000;

    /// <summary>Part of the time left that a stage may take; what it does not need goes to the next.</summary>
    private static readonly double[] Shares = [0.6, 0.55, 0.6, 0.7, 1];

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

        double before = time.Left;
        double seconds = before * Shares[(int)stage];
        bool everything = SliceModel.SizeOf(plan, ModelScope.Everything) <= LargestModel;
        HashSet<int> opened = [];
        if (stage <= PlanStage.LotsAndJoins)
        {
            bound = Tighter(stage, bound, BoundFromFractions(stage, seconds, opened));
            Tell(stage, ValueOf(stage), bound);
        }

        // A small problem's full model has bounds as good by itself, but for the first stage.
        if (bound != ValueOf(stage) && (stage == PlanStage.Pieces || !everything) && SliceModel.SizeOf(plan, ModelScope.Everything) > 0)
        {
            bound = Tighter(stage, bound, BoundFromTotals(stage, seconds * (everything ? 0.3 : 0.4), opened));
        }

        if (bound != ValueOf(stage))
        {
            double left = time.Left - (before - seconds);
            ModelScope scope = everything ? ModelScope.Everything : Scope(opened);
            long? found = Improve(stage, left, scope, bound);
            bound = everything ? Tighter(stage, bound, found) : bound;
        }

        return new(stage, ValueOf(stage), bound);
    }

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
