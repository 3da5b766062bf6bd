using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;

namespace GuildStash.Planning.Patterns;

/// <summary>
/// Bounds and plans from patterns. The master mixes known patterns, its prices ask each lot for a better one, until no lot has any
/// (column generation). Each round's prices give a bound that holds by itself, so that the best of them counts whenever the time
/// ends. Numbers that are whole in any plan and are not in the mix split the problem in two (branch and price); what is proven is the
/// weakest bound of all branches.
/// </summary>
/// <param name="value">The best value of the stage that a plan is known for.</param>
/// <param name="offer">Told of patterns that may make a better plan.</param>
internal sealed class PatternSearch(FittedPlan plan, PlanTime time, PlanStage stage, Func<long> value, Action<IEnumerable<LotPattern>> offer)
{
    /// <summary>How many steps, of packing and of the linear solver, take about as long as a second.</summary>
    private const double StepsASecond = 1e7;

    /// <summary>From this share on a pattern of the mix is taken for what its lot should give.</summary>
    private const double MostlyUsed = 0.5;

    private readonly int _sign = stage.IsMost() ? -1 : 1;
    private double _until;

    /// <summary>Lots in the best mix of all.</summary>
    public HashSet<int> Opened { get; private set; } = [];

    /// <summary>What the stage can't be better than; null where nothing is proven.</summary>
    public double? Bound { get; private set; }

    /// <param name="settled">Stages that are held.</param>
    /// <param name="start">A plan whose lots give the first patterns.</param>
    public void Run(IReadOnlyList<SettledStage> settled, Draft start, double seconds)
    {
        _until = time.Left - seconds;
        PatternFrame frame = new(plan, exact: stage == PlanStage.Unusable);
        foreach (SettledStage before in settled)
        {
            frame.HoldRow(before.Stage, before.Value);
        }

        frame.Seek(stage, lacking: 4 * (value() + 1));
        using PatternMaster? master = PatternMaster.Of(frame, plan, stage);
        if (master is null)
        {
            return;
        }

        foreach (LotPattern pattern in PatternsOf(start, frame))
        {
            master.Add(pattern);
        }

        Branch(master, [.. plan.Lots.Select(lot => new PatternKnapsack(lot, frame.Items[lot.Index]))]);
    }

    private bool IsOver => time.Left <= _until + 0.01 || time.IsOver;

    private bool IsEnough(double least) => Math.Ceiling(least - 1e-6) >= _sign * value();

    /// <summary>Splits the branch with the weakest bound, as long as a better plan could lie in it.</summary>
    private void Branch(PatternMaster master, PatternKnapsack[] lots)
    {
        PriorityQueue<Node, double> open = new();
        Node root = Visit(master, lots, [], double.NegativeInfinity);
        Opened = [.. master.Mix.Select(each => each.Pattern.Lot.Index)];
        Dive(master, lots, root);
        open.Enqueue(root, root.Least);
        while (open.TryPeek(out Node? node, out double least) && node.Split is { } split && !IsEnough(least) && !IsOver)
        {
            Node[] halves = [.. Halves(master, node, split).Select(limits => Visit(master, lots, limits, least))];
            open.Dequeue();
            open.EnqueueRange(halves.Select(half => (half, half.Least)));
        }

        if (open.TryPeek(out _, out double proven) && double.IsFinite(proven))
        {
            Bound = _sign * proven;
        }
    }

    private static IEnumerable<Dictionary<int, (double Low, double High)>> Halves(PatternMaster master, Node node, (int Variable, double Value) split)
    {
        (double low, double high) = node.Limits.TryGetValue(split.Variable, out (double, double) known) ? known : master.Own(split.Variable);
        yield return new(node.Limits) { [split.Variable] = (low, Math.Floor(split.Value)) };
        yield return new(node.Limits) { [split.Variable] = (Math.Ceiling(split.Value), high) };
    }

    private Node Visit(PatternMaster master, PatternKnapsack[] lots, Dictionary<int, (double Low, double High)> limits, double parent)
    {
        master.Keep(limits);
        double least = parent;
        bool mixed = Mix(master, lots, bound => IsEnough(least = Math.Max(least, bound)));
        if (!mixed || IsEnough(least))
        {
            return new(least, limits, null);
        }

        offer(master.Mix.Where(each => each.Share > MostlyUsed).Select(each => each.Pattern));
        Node node = new(least, limits, master.Split());
        if (node.Split is null)
        {
            Dive(master, lots, node);
        }

        return node;
    }

    /// <summary>Decides for one pattern after the other and mixes the rest anew: what comes out is near to a plan.</summary>
    private void Dive(PatternMaster master, PatternKnapsack[] lots, Node node)
    {
        while (!IsEnough(node.Least) && !IsOver && master.Decide() && Mix(master, lots, _ => false))
        {
            offer(master.Mix.Where(each => each.Share > MostlyUsed).Select(each => each.Pattern));
        }

        master.Undecide();
    }

    /// <summary>Mixes and prices until no lot has a better pattern.</summary>
    /// <param name="isEnough">Told of each bound, negative where the most is sought.</param>
    /// <returns>Whether there is a mix.</returns>
    private bool Mix(PatternMaster master, PatternKnapsack[] lots, Func<double, bool> isEnough)
    {
        bool mixed = false;
        bool more = true;
        while (more && !IsOver)
        {
            long steps = master.Steps + lots.Sum(lot => lot.Steps);
            double limit = time.Options.Seed is null ? Math.Min(time.Left - _until, time.SecondsOnClock) : time.SecondsOnClock;
            if (!master.Solve(limit))
            {
                return mixed;
            }

            mixed = true;
            PatternPrices prices = master.Prices(out double bound);
            more = false;
            foreach (PatternKnapsack lot in lots)
            {
                (double worth, LotPattern? pattern) = lot.Best(prices);
                bound += master.Less(worth);
                more |= pattern is not null && master.Offers(pattern, worth);
            }

            time.Spend((master.Steps + lots.Sum(lot => lot.Steps) - steps) / StepsASecond);
            more &= !isEnough(_sign * bound);
        }

        return mixed;
    }

    private IEnumerable<LotPattern> PatternsOf(Draft draft, PatternFrame frame) => draft.Slices
        .SelectMany(slice => slice.Draws.Select(draw => (Slice: slice, Draw: draw)))
        .GroupBy(each => each.Draw.Lot)
        .Select(lot =>
        {
            Dictionary<PatternItem, PatternUse> uses = [];
            foreach ((Slice slice, Draw draw) in lot)
            {
                PatternItem item = frame.Items[lot.Key].First(each => each.Part.Index == slice.Part && each.Group == slice.Group);
                PatternUse use = uses.GetValueOrDefault(item);
                uses[item] = slice.Draws.Count == 1 ? use.Plus(1, 0, 0) : use.Plus(0, 1, draw.Worked);
            }

            return new LotPattern(plan.Lots[lot.Key], uses);
        });

    /// <param name="Least">Its bound, negative where the most is sought.</param>
    /// <param name="Limits">Variables kept in narrower limits.</param>
    /// <param name="Split">What would split it; null where nothing better can lie in it, or all is whole.</param>
    private sealed record Node(double Least, Dictionary<int, (double Low, double High)> Limits, (int Variable, double Value)? Split);
}
