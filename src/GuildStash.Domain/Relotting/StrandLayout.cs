namespace GuildStash.Domain.Relotting;

/// <summary>A point of the picture: its row, and its bar within the row.</summary>
/// <param name="Left">0 to <see cref="StrandLayout.Width"/>.</param>
public sealed record StrandBar(FlowKey Node, int Row, double Left, double Breadth, long Mg);

/// <summary>Where a band passes: its left edge at a height, in rows.</summary>
public readonly record struct StrandPoint(double Row, double Left);

/// <summary>A band of the picture from one bar to another.</summary>
/// <param name="Points">From above to below; between them the band bends.</param>
public sealed record StrandBand(FlowLink Link, double Breadth, IReadOnlyList<StrandPoint> Points);

/// <summary>
/// The flow as strands that run down the page, one point in each row. Breadths are to one scale of grams for the whole picture, so that
/// a cut across it at any height shows what was there, and nothing gets wider by itself.
/// </summary>
public sealed class StrandLayout
{
    /// <summary>Breadth of the picture in its own units.</summary>
    public const double Width = 1000;

    private const double Gap = 14;

    private readonly List<StrandBar> _bars = [];
    private readonly List<(FlowLink Link, List<StrandPoint> Points)> _bands = [];
    private readonly List<(FlowLink Link, int Band)> _running = [];
    private readonly double _perMg;

    private StrandLayout(FlowGraph graph)
    {
        List<FlowKey> order = Order(graph);
        (long mg, int strands) = Widest(graph, order);
        _perMg = mg == 0 ? 0 : Math.Max(1, Width - (Gap * Math.Max(0, strands - 1))) / mg;
        for (int row = 0; row < order.Count; row++)
        {
            Place(graph, order[row], row);
        }

        Bars = _bars;
        Bands = [.. _bands.Select(b => new StrandBand(b.Link, b.Link.Mg * _perMg, b.Points))];
    }

    public IReadOnlyList<StrandBar> Bars { get; }

    public IReadOnlyList<StrandBand> Bands { get; }

    /// <summary>Units of breadth for a milligram; the same for every band and bar.</summary>
    public double PerMg => _perMg;

    public static StrandLayout Of(FlowGraph graph) => new(graph);

    /// <summary>Each point after all that flow into it, and as near as can be to the one before: first its ends, then what goes on.</summary>
    private static List<FlowKey> Order(FlowGraph graph)
    {
        Dictionary<FlowKey, int> open = graph.Nodes.ToDictionary(n => n, _ => 0);
        foreach (FlowLink link in graph.Links)
        {
            open[link.To]++;
        }

        ILookup<FlowKey, FlowLink> next = graph.Links.ToLookup(l => l.From);
        Stack<FlowKey> ready = new(open.Where(n => n.Value == 0).Select(n => n.Key).Reverse());
        List<FlowKey> order = [];
        while (ready.TryPop(out FlowKey node))
        {
            order.Add(node);
            foreach (FlowLink link in next[node].OrderBy(l => next[l.To].Any() ? 0 : 1))
            {
                if (--open[link.To] == 0)
                {
                    ready.Push(link.To);
                }
            }
        }

        return order;
    }

    /// <summary>The most that is anywhere side by side, in milligrams and in strands.</summary>
    private static (long Mg, int Strands) Widest(FlowGraph graph, List<FlowKey> order)
    {
        ILookup<FlowKey, FlowLink> into = graph.Links.ToLookup(l => l.To);
        ILookup<FlowKey, FlowLink> from = graph.Links.ToLookup(l => l.From);
        (long mg, int strands) = (0L, 0);
        (long most, int count) = (0L, 0);
        foreach (FlowKey node in order)
        {
            long came = into[node].Sum(l => l.Mg);
            long leaves = from[node].Sum(l => l.Mg);
            (most, count) = (Math.Max(most, mg + Math.Max(0, leaves - came)), Math.Max(count, strands + Math.Max(0, from[node].Count() - into[node].Count())));
            (mg, strands) = (mg - came + leaves, strands - into[node].Count() + from[node].Count());
            (most, count) = (Math.Max(most, mg), Math.Max(count, strands));
        }

        return (most, count);
    }

    /// <summary>Takes the bands that end here out of those that run, and begins those that leave, in the same place.</summary>
    private void Place(FlowGraph graph, FlowKey node, int row)
    {
        double[] above = Lefts();
        int at = _running.FindIndex(r => r.Link.To == node);
        List<FlowLink> leaving = [.. graph.Links.Where(l => l.From == node)];
        List<(FlowLink Link, int Band)> ending = [.. _running.Where(r => r.Link.To == node)];
        double came = at >= 0 ? above[at] : Right(above);
        foreach ((FlowLink _, int band) in _running)
        {
            _bands[band].Points.Add(new StrandPoint(row, above[_running.FindIndex(r => r.Band == band)]));
        }

        _running.RemoveAll(r => r.Link.To == node);
        int insert = at >= 0 ? at : _running.Count;
        foreach (FlowLink link in leaving)
        {
            _bands.Add((link, []));
            _running.Insert(insert++, (link, _bands.Count - 1));
        }

        double[] below = Lefts();
        double left = leaving.Count > 0 ? below[_running.FindIndex(r => r.Link.From == node)] : came;
        long mg = Math.Max(ending.Sum(e => e.Link.Mg), leaving.Sum(l => l.Mg));
        left = Math.Clamp(left, 0, Math.Max(0, Width - (mg * _perMg)));
        _bars.Add(new StrandBar(node, row, left, mg * _perMg, mg));
        double arrives = left;
        foreach ((FlowLink link, int band) in ending)
        {
            _bands[band].Points.Add(new StrandPoint(row + 0.5, arrives));
            arrives += link.Mg * _perMg;
        }

        double leaves = left;
        foreach (FlowLink link in leaving)
        {
            int index = _running.FindIndex(r => r.Link == link);
            _bands[_running[index].Band].Points.Add(new StrandPoint(row + 0.5, leaves));
            leaves += link.Mg * _perMg;
        }
    }

    private double[] Lefts()
    {
        double[] lefts = new double[_running.Count];
        double x = 0;
        for (int i = 0; i < _running.Count; i++)
        {
            lefts[i] = x;
            x += (_running[i].Link.Mg * _perMg) + Gap;
        }

        return lefts;
    }

    private double Right(double[] lefts) => lefts.Length == 0 ? 0 : lefts[^1] + (_running[^1].Link.Mg * _perMg) + Gap;
}
