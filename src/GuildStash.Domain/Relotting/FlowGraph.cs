namespace GuildStash.Domain.Relotting;

/// <summary>What a point of the flow stands for.</summary>
public enum FlowNodeKind
{
    /// <summary>Where yarn came in: a gift's bag.</summary>
    Bag = 0,

    /// <summary>A lot, from its beginning or from a merge on.</summary>
    Lot = 1,

    /// <summary>Handed over to members, and not brought back to the same lot.</summary>
    Home = 2,

    /// <summary>In the room now.</summary>
    InRoom = 3,

    /// <summary>At members' homes now.</summary>
    AtHome = 4,

    /// <summary>Unsorted in its bag now.</summary>
    InBag = 5,

    /// <summary>Worked into a project's pieces.</summary>
    Pieces = 6,

    PassedOn = 7,

    Waste = 8,

    Lost = 9,

    /// <summary>Found more or less than the books had; a source or an end.</summary>
    Difference = 10,

    /// <summary>Further lots together, where there are too many to show.</summary>
    FurtherLots = 11,

    Stuffing = 12,
}

/// <summary>Names one point of the flow.</summary>
/// <param name="Id">The lot's, bag's, project's or other key; of what belongs to a lot or a bag, that one's.</param>
/// <param name="Stage">Of a lot, and of what belongs to it: 0 from its beginning, 1 from its first merge on, and so forth.</param>
public readonly record struct FlowKey(FlowNodeKind Kind, Guid Id, int Stage = 0);

/// <summary>Grams that went from one point to another.</summary>
/// <param name="Mg">Milligrams, more than zero.</param>
/// <param name="Lot">The lot whose yarn it is, for its colour.</param>
public sealed record FlowLink(FlowKey From, FlowKey To, long Mg, Guid Lot);

/// <summary>
/// Where yarn came from and what became of it. What comes into a point is what leaves it, to the milligram; only bags and differences
/// have nothing before them, and only ends have nothing after them. It never runs in a circle, since each merge begins a new stage of
/// the lot that is left.
/// </summary>
public sealed class FlowGraph
{
    private readonly Dictionary<(FlowKey From, FlowKey To), (long Mg, Guid Lot)> _links = [];

    /// <summary>The links in the order in which they were first added.</summary>
    public IReadOnlyList<FlowLink> Links => [.. _links.Where(l => l.Value.Mg > 0).Select(l => new FlowLink(l.Key.From, l.Key.To, l.Value.Mg, l.Value.Lot))];

    /// <summary>All points, once each.</summary>
    public IReadOnlyList<FlowKey> Nodes => [.. Links.SelectMany(l => new[] { l.From, l.To }).Distinct()];

    /// <summary>Adds grams to a way; what went there and back within the two is netted.</summary>
    public void Add(FlowKey from, FlowKey to, long mg, Guid lot)
    {
        if (mg == 0 || from == to)
        {
            return;
        }

        if (_links.TryGetValue((to, from), out (long Mg, Guid Lot) back))
        {
            long net = mg - back.Mg;
            if (net <= 0)
            {
                _links[(to, from)] = (-net, back.Lot);
                return;
            }

            _links.Remove((to, from));
            mg = net;
        }

        _links[(from, to)] = _links.TryGetValue((from, to), out (long Mg, Guid Lot) before) ? (before.Mg + mg, before.Lot) : (mg, lot);
    }

    public long Into(FlowKey node) => _links.Where(l => l.Key.To == node).Sum(l => l.Value.Mg);

    public long OutOf(FlowKey node) => _links.Where(l => l.Key.From == node).Sum(l => l.Value.Mg);
}
