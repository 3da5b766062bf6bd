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
internal sealed class PatternSearch(FittedPlan plan, Exclusions without, PlanTime time, PlanStage stage, Func<long> value, Action<IEnumerable<LotPattern>> offer) : IDisposable
{
    /// <summary>How many steps, of packing and of the linear solver, take about as long as a second.</summary>
    private const double StepsASecond = 1e7;

    /// <summary>From this share on a pattern of the mix is taken for what its lot should give.</summary>
    private const double MostlyUsed = 0.5;

    /// <summary>Cases that a problem is split into at most: with 24 what each takes to begin with cost more than it saved, 4 and 8 did alike.</summary>
    private const int MostCases = 6;

    /// <summary>Smallest slack, for what rounding does to prices.</summary>
    private const double Slack = 1e-6;

    private readonly int _sign = stage.IsMost() ? -1 : 1;
    private readonly PatternFrame _frame = new(plan, stage, without);
    private readonly PriorityQueue<Node, double> _open = new();
    private PatternMaster? _master;
    private PatternKnapsack[] _lots = [];
    private Node? _root;
    private double _until;

    /// <summary>Lots in the best mix of all.</summary>
    public HashSet<int> Opened { get; private set; } = [];

    /// <summary>What the stage can't be better than; null where nothing is proven.</summary>
    public double? Bound { get; private set; }

    /// <param name="settled">Stages that are held.</param>
    /// <param name="start">A plan whose lots give the first patterns.</param>
    /// <param name="isEasy">Asked when all are mixed for the first time: whether the rest is done better without patterns.</param>
    public void Run(IEnumerable<SettledStage> settled, Draft start, double seconds, Func<bool> isEasy)
    {
        _until = time.Left - seconds;
        foreach (SettledStage before in settled)
        {
            _frame.HoldRow(before.Stage, before.Value);
        }

        _frame.Seek(stage, lacking: 4 * (value() + 1));
        _master = PatternMaster.Of(_frame, plan, stage);
        if (_master is null)
        {
            return;
        }

        foreach (LotPattern pattern in PatternsOf(start))
        {
            _master.Add(pattern);
        }

        _lots = [.. plan.Lots.Select(lot => new PatternKnapsack(lot, _frame.Items[lot.Index]))];
        _root = Visit(_master, [], double.NegativeInfinity);
        Opened = [.. _master.Mix.Select(each => each.Pattern.Lot.Index)];
        Dive(_master, _root);
        _open.Enqueue(_root, _root.Least);
        if (!isEasy())
        {
            Branch(_master);
        }

        if (_open.TryPeek(out _, out double proven) && double.IsFinite(proven))
        {
            Bound = _sign * proven;
        }
    }

    /// <summary>
    /// What no plan has whose value is this or better. The first mix's prices bound all plans; a plan with a slice, or a number, that costs
    /// more at these prices than lies between bound and value is worse (fixing by reduced costs; any textbook of integer programming).
    /// </summary>
    public Exclusions Beyond(long asked) => _root is null ? new() : Beyond(_root, asked);

    /// <summary>Splits all plans whose value is this or better into cases, each with what none of its plans has; none where there is no such plan.</summary>
    public IReadOnlyList<Exclusions> Cases(long asked, double seconds)
    {
        if (_master is null)
        {
            // Nothing was mixed, and nothing is proven: all plans are one case.
            return [without];
        }

        _until = time.Left - seconds;
        List<Node> whole = [];
        while (_open.Count + whole.Count < MostCases && !IsOver && _open.TryDequeue(out Node? node, out double least))
        {
            if (least > (_sign * asked) + Slack)
            {
                whole.Add(node);
                continue;
            }

            if (node.Split is null && node.Prices is not null)
            {
                node = node with { Split = Again(_master, node) };
            }

            if (node.Split is not { } split)
            {
                whole.Add(node);
                continue;
            }

            foreach (Dictionary<int, (double Low, double High)> limits in Halves(_master, node, split))
            {
                Node half = Visit(_master, limits, least, toTheEnd: true);
                _open.Enqueue(half, half.Least);
            }
        }

        whole.AddRange(_open.UnorderedItems.Select(each => each.Element));
        _open.Clear();
        _open.EnqueueRange(whole.Select(each => (each, each.Least)));
        return [.. whole.Where(each => each.Least <= (_sign * asked) + Slack).OrderBy(each => each.Least).Select(each => Beyond(each, asked))];
    }

    public void Dispose() => _master?.Dispose();

    private Exclusions Beyond(Node node, long asked) =>
        node.Prices is { } prices && (_sign * asked) - node.Least is >= -Slack and var slack ? without.And(_frame.Beyond(slack + Slack, prices, _lots, without)) : without;

    private bool IsOver => time.Left <= _until + 0.01 || time.IsOver;

    private bool IsEnough(double least) => Math.Ceiling(least - 1e-6) >= _sign * value();

    /// <summary>Splits the branch with the weakest bound, as long as a better plan could lie in it.</summary>
    private void Branch(PatternMaster master)
    {
        while (_open.TryPeek(out Node? node, out double least) && node.Split is { } split && !IsEnough(least) && !IsOver)
        {
            Node[] halves = [.. Halves(master, node, split).Select(limits => Visit(master, limits, least))];
            _open.Dequeue();
            _open.EnqueueRange(halves.Select(half => (half, half.Least)));
        }
    }

    private static IEnumerable<Dictionary<int, (double Low, double High)>> Halves(PatternMaster master, Node node, (int Variable, double Value) split)
    {
        (double low, double high) = node.Limits.TryGetValue(split.Variable, out (double, double) known) ? known : master.Own(split.Variable);
        yield return new(node.Limits) { [split.Variable] = (low, Math.Floor(split.Value)) };
        yield return new(node.Limits) { [split.Variable] = (Math.Ceiling(split.Value), high) };
    }

    /// <param name="toTheEnd">Whether to mix on where the bound is enough already, for the sake of good prices.</param>
    private Node Visit(PatternMaster master, Dictionary<int, (double Low, double High)> limits, double parent, bool toTheEnd = false)
    {
        master.Keep(limits);
        Node node = new(parent, limits, null, null);
        bool mixed = Mix(master, (bound, prices) =>
        {
            node = node with { Least = Math.Max(node.Least, bound), Prices = node.Prices is null || bound > node.Least ? prices : node.Prices };
            return IsEnough(node.Least) && !toTheEnd;
        });
        if (!mixed || (IsEnough(node.Least) && !toTheEnd))
        {
            return node;
        }

        if (!toTheEnd)
        {
            offer(master.Mix.Where(each => each.Share > MostlyUsed).Select(each => each.Pattern));
        }

        node = node with { Split = master.Split() };
        if (node.Split is null && !toTheEnd)
        {
            Dive(master, node);
        }

        return node;
    }

    /// <summary>Mixes a branch anew that was left when its bound was enough, and says what would split it.</summary>
    private (int Variable, double Value)? Again(PatternMaster master, Node node)
    {
        master.Keep(node.Limits);
        return Mix(master, (_, _) => false) ? master.Split() : null;
    }

    /// <summary>Decides for one pattern after the other and mixes the rest anew: what comes out is near to a plan.</summary>
    private void Dive(PatternMaster master, Node node)
    {
        while (!IsEnough(node.Least) && !IsOver && master.Decide() && Mix(master, (_, _) => false))
        {
            offer(master.Mix.Where(each => each.Share > MostlyUsed).Select(each => each.Pattern));
        }

        master.Undecide();
    }

    /// <summary>Mixes and prices until no lot has a better pattern.</summary>
    /// <param name="isEnough">Told of each bound, negative where the most is sought, and the prices that give it.</param>
    /// <returns>Whether there is a mix.</returns>
    private bool Mix(PatternMaster master, Func<double, PatternPrices, bool> isEnough)
    {
        bool mixed = false;
        bool more = true;
        while (more && !IsOver)
        {
            long steps = master.Steps + _lots.Sum(lot => lot.Steps);
            double limit = time.Options.Seed is null ? Math.Min(time.Left - _until, time.SecondsOnClock) : time.SecondsOnClock;
            if (!master.Solve(limit))
            {
                return mixed;
            }

            mixed = true;
            PatternPrices prices = master.Prices(out double bound);
            more = false;
            foreach (PatternKnapsack lot in _lots)
            {
                (double worth, LotPattern? pattern) = lot.Best(prices);
                bound += master.Less(worth);
                more |= pattern is not null && master.Offers(pattern, worth);
            }

            time.Spend((master.Steps + _lots.Sum(lot => lot.Steps) - steps) / StepsASecond);
            more &= !isEnough(_sign * bound, prices);
        }

        return mixed;
    }

    private IEnumerable<LotPattern> PatternsOf(Draft draft) => draft.Slices
        .SelectMany(slice => slice.Draws.Select(draw => (Slice: slice, Draw: draw)))
        .GroupBy(each => each.Draw.Lot)
        .Select(lot =>
        {
            Dictionary<PatternItem, PatternUse> uses = [];
            foreach ((Slice slice, Draw draw) in lot)
            {
                PatternItem item = _frame.Items[lot.Key].First(each => each.Part.Index == slice.Part && each.Group == slice.Group);
                PatternUse use = uses.GetValueOrDefault(item);
                uses[item] = slice.Draws.Count == 1 ? use.Plus(1, 0, 0) : use.Plus(0, 1, draw.Worked);
            }

            return new LotPattern(plan.Lots[lot.Key], uses);
        });

    /// <param name="Least">Its bound, negative where the most is sought.</param>
    /// <param name="Limits">Variables kept in narrower limits.</param>
    /// <param name="Split">What would split it; null where nothing better can lie in it, or all is whole.</param>
    /// <param name="Prices">The prices that give the bound, with the branch's own limits; null where it was never mixed.</param>
    private sealed record Node(double Least, Dictionary<int, (double Low, double High)> Limits, (int Variable, double Value)? Split, PatternPrices? Prices);
}
