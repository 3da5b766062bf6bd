using GuildStash.Domain.Ledger;

namespace GuildStash.Domain.Relotting;

/// <summary>Movements of one kind that one lot had within one stage, added up.</summary>
public sealed record FlowEntry
{
    /// <summary>The lot; null for what is only a bag's.</summary>
    public Guid? LotId { get; init; }

    public int Stage { get; init; }

    public PlaceKind From { get; init; }

    public PlaceKind To { get; init; }

    public MovementReason Reason { get; init; }

    /// <summary>The bag, where one of the two is a bag.</summary>
    public Guid? BagId { get; init; }

    public Guid? ProjectId { get; init; }

    /// <summary>Between lots that are both shown: the transfer.</summary>
    public Guid? TransferId { get; init; }

    /// <summary>The transfer is a split that was undone, or its undoing.</summary>
    public bool IsUndone { get; init; }

    /// <summary>Where a member is one of the two: the lot and stage from which it was taken home; null where that lot is not shown.</summary>
    public Guid? HomeLotId { get; init; }

    public int HomeStage { get; init; }

    public long Mg { get; init; }

    public int Times { get; init; }

    public DateTimeOffset First { get; init; }

    public DateTimeOffset Last { get; init; }
}

/// <summary>One step of the history: grams from one point to another, and why; without a reason, where they are now.</summary>
public sealed record FlowStep(FlowKey From, FlowKey To, MovementReason? Reason, long Mg, int Times, DateTimeOffset? First, DateTimeOffset? Last);

/// <summary>The history of lots and bags from the books: every step, and the graph of what is left when comings and goings are netted.</summary>
public sealed class FlowBook
{
    private readonly List<FlowStep> _steps = [];
    private readonly Dictionary<Guid, FlowKey> _left = [];
    private readonly HashSet<FlowKey> _homes = [];
    private readonly HashSet<FlowKey> _bags = [];
    private readonly Dictionary<Guid, int> _stages = [];
    private readonly Dictionary<Guid, long> _came = [];

    /// <summary>What the steps so far brought to a point less what they took from it.</summary>
    private readonly Dictionary<FlowKey, long> _rest = [];

    public FlowGraph Graph { get; } = new();

    /// <summary>In the order of the books; where everything is now at the end.</summary>
    public IReadOnlyList<FlowStep> Steps => _steps;

    /// <param name="entries">In the order of the books.</param>
    public static FlowBook Read(IReadOnlyList<FlowEntry> entries)
    {
        FlowBook book = new();
        foreach (FlowEntry entry in entries.Where(e => e is { To: PlaceKind.Relotted, TransferId: not null }))
        {
            book._left[entry.TransferId!.Value] = Lot(entry);
        }

        foreach (FlowEntry entry in entries)
        {
            book.Add(entry);
        }

        book.Close();
        return book;
    }

    private static FlowKey Lot(FlowEntry e) => new(FlowNodeKind.Lot, e.LotId!.Value, e.Stage);

    private void Add(FlowEntry e)
    {
        if (e.LotId is { } lot)
        {
            _stages[lot] = Math.Max(_stages.GetValueOrDefault(lot), e.Stage);
        }

        if (e.From == PlaceKind.Donor)
        {
            _came[e.BagId!.Value] = _came.GetValueOrDefault(e.BagId.Value) + e.Mg;
            _bags.Add(new(FlowNodeKind.Bag, e.BagId.Value));
            return;
        }

        // The half that leaves says the same as the half that comes in, where both lots are shown.
        if (e.To == PlaceKind.Relotted && e.TransferId is not null)
        {
            return;
        }

        FlowKey from = End(e, e.From, e.To);
        FlowKey to = End(e, e.To, e.From);
        Step(new FlowStep(from, to, e.Reason, e.Mg, e.Times, e.First, e.Last));
        if (!e.IsUndone)
        {
            Graph.Add(from, to, e.Mg, e.LotId ?? default);
        }
    }

    private FlowKey End(FlowEntry e, PlaceKind place, PlaceKind other)
    {
        Guid owner = e.LotId ?? e.BagId!.Value;
        bool home = other == PlaceKind.Member && e.HomeLotId is not null;
        (Guid id, int stage) = home ? (e.HomeLotId!.Value, e.HomeStage) : (owner, e.Stage);
        return place switch
        {
            PlaceKind.Bin or PlaceKind.Quarantine => e.LotId is null ? new(FlowNodeKind.FurtherLots, owner) : Lot(e),
            PlaceKind.Bag => Keep(_bags, new(FlowNodeKind.Bag, e.BagId!.Value)),
            PlaceKind.Member => e.HomeLotId is { } taken ? Keep(_homes, new(FlowNodeKind.Home, taken, e.HomeStage)) : new(FlowNodeKind.FurtherLots, owner, e.Stage),
            PlaceKind.Relotted => e.TransferId is { } transfer && _left.TryGetValue(transfer, out FlowKey left) ? left : new(FlowNodeKind.FurtherLots, owner, e.Stage),
            PlaceKind.Project => new(FlowNodeKind.Pieces, e.ProjectId!.Value),
            PlaceKind.PassedOn => new(FlowNodeKind.PassedOn, id, stage),
            PlaceKind.Stuffing => new(FlowNodeKind.Stuffing, id, stage),
            PlaceKind.Waste => new(FlowNodeKind.Waste, id, stage),
            PlaceKind.Lost => new(FlowNodeKind.Lost, id, stage),
            _ => new(FlowNodeKind.Difference, id, home ? -1 - stage : stage),
        };
    }

    private static FlowKey Keep(HashSet<FlowKey> keys, FlowKey key)
    {
        keys.Add(key);
        return key;
    }

    /// <summary>What did not leave a point is still there; of a lot that was merged into, it goes on in the lot's next stage.</summary>
    private void Close()
    {
        foreach ((Guid lot, int stages) in _stages)
        {
            for (int stage = 0; stage <= stages; stage++)
            {
                FlowKey key = new(FlowNodeKind.Lot, lot, stage);
                CloseTo(key, stage < stages ? new(FlowNodeKind.Lot, lot, stage + 1) : new(FlowNodeKind.InRoom, lot), Graph.Into(key) - Graph.OutOf(key), _rest.GetValueOrDefault(key), lot);
            }
        }

        foreach (FlowKey home in _homes)
        {
            CloseTo(home, new(FlowNodeKind.AtHome, home.Id, home.Stage), Graph.Into(home) - Graph.OutOf(home), _rest.GetValueOrDefault(home), home.Id);
        }

        // Of a bag whose coming in is not among the entries, only what went into these lots is known.
        foreach (FlowKey bag in _bags.Where(b => _came.ContainsKey(b.Id)))
        {
            long rest = _came.GetValueOrDefault(bag.Id) + Graph.Into(bag) - Graph.OutOf(bag);
            CloseTo(bag, new(FlowNodeKind.InBag, bag.Id), rest, rest, default);
            if (rest < 0)
            {
                // More was sorted than the bag weighed, and it is not closed yet.
                Graph.Add(new(FlowNodeKind.Difference, bag.Id), bag, -rest, default);
            }
        }
    }

    /// <param name="mg">By the graph, from which splits that were undone are left out.</param>
    /// <param name="stepsMg">By the steps, which tell of them: they may lie in different stages of a lot.</param>
    private void CloseTo(FlowKey key, FlowKey to, long mg, long stepsMg, Guid lot)
    {
        if (mg > 0)
        {
            Graph.Add(key, to, mg, lot);
        }

        if (stepsMg > 0)
        {
            Step(new FlowStep(key, to, null, stepsMg, 1, null, null));
        }
    }

    private void Step(FlowStep step)
    {
        _steps.Add(step);
        _rest[step.To] = _rest.GetValueOrDefault(step.To) + step.Mg;
        _rest[step.From] = _rest.GetValueOrDefault(step.From) - step.Mg;
    }
}
