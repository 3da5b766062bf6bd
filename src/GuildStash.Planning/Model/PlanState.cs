using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Model;

/// <summary>A stage as it was settled.</summary>
/// <param name="Bound">In whole units, rounded to the side that is still possible.</param>
internal readonly record struct SettledStage(PlanStage Stage, long Value, long? Bound)
{
    public bool IsProven => Bound == Value;
}

/// <summary>The best draft so far, which is never given up for a worse one, and the stages that are settled.</summary>
internal sealed class PlanState(FittedPlan plan)
{
    private readonly List<SettledStage> _settled = [];

    public Draft Best { get; private set; } = Draft.Empty;

    public IReadOnlyList<SettledStage> Settled => _settled;

    public long ValueOf(PlanStage stage) => Score.Of(plan, Best)[stage];

    /// <summary>The value that a plan must have at least to be better in a stage.</summary>
    public long BetterThan(PlanStage stage) => ValueOf(stage) + (stage.IsMost() ? 1 : -1);

    /// <summary>Keeps the drafts that are better than the best.</summary>
    /// <returns>Whether there was one.</returns>
    public bool Offer(IEnumerable<Draft> drafts)
    {
        bool any = false;
        foreach (Draft draft in drafts.Where(draft => Score.Of(plan, draft).CompareTo(Score.Of(plan, Best)) > 0))
        {
            (Best, any) = (draft, true);
        }

        // In a later stage a plan may turn up that is better in an earlier one. What was proven with the worse value held holds for it too.
        for (int i = 0; i < _settled.Count; i++)
        {
            _settled[i] = _settled[i] with { Value = ValueOf(_settled[i].Stage) };
        }

        return any;
    }

    /// <summary>Settles a stage, or settles it anew with a better bound.</summary>
    public void Settle(PlanStage stage, long? bound)
    {
        int at = _settled.FindIndex(each => each.Stage == stage);
        SettledStage settled = new(stage, ValueOf(stage), at < 0 ? bound : Tighter(stage, bound, _settled[at].Bound));
        if (at < 0)
        {
            _settled.Add(settled);
        }
        else
        {
            _settled[at] = settled;
        }
    }

    /// <summary>Stages that are held while one is settled: all that matter more.</summary>
    public IEnumerable<SettledStage> Before(PlanStage stage) => _settled.Where(each => each.Stage < stage);

    /// <summary>Holds the stages before one, asks it to be so good at least, and seeks the best.</summary>
    public void Prepare(ModelFrame model, PlanStage stage, long least)
    {
        foreach (SettledStage before in Before(stage))
        {
            model.Hold(before.Stage, before.Value);
        }

        model.Hold(stage, least);
        model.Seek(stage);
    }

    /// <summary>A bound in whole units; none where a plan that was found contradicts it, which a search that was cut off early may say.</summary>
    public long? Whole(PlanStage stage, double? bound) => Rounded(stage, bound) is { } whole && (stage.IsMost() ? whole >= ValueOf(stage) : whole <= ValueOf(stage)) ? whole : null;

    /// <summary>A bound rounded to the side that is still possible.</summary>
    public static long? Rounded(PlanStage stage, double? bound) => bound is { } known ? (long)(stage.IsMost() ? Math.Floor(known + 1e-6) : Math.Ceiling(known - 1e-6)) : null;

    public static long? Tighter(PlanStage stage, long? one, long? other) => one is null || other is null
        ? one ?? other
        : stage.IsMost() ? Math.Min(one.Value, other.Value) : Math.Max(one.Value, other.Value);

    /// <summary>The bound of several cases together, which are all there are: the weakest, and none where one has none.</summary>
    public static long? Weakest(PlanStage stage, IEnumerable<long?> bounds) => bounds.Aggregate((one, other) => one is null || other is null
        ? null
        : stage.IsMost() ? Math.Max(one.Value, other.Value) : Math.Min(one.Value, other.Value));
}
