namespace GuildStash.Planning.Model;

/// <summary>
/// What no plan has that is as good as the one known: lots that give no slice or no share to a part, and numbers that lie between
/// narrower limits. Models leave it out, and lose no plan that matters.
/// </summary>
internal sealed class Exclusions
{
    private readonly Dictionary<int, LotWays> _ways = [];
    private readonly HashSet<(int Part, int Group, int Lot)> _wholes = [];
    private readonly HashSet<(int Part, int Group, int Lot)> _shares = [];
    private readonly Dictionary<(int Part, int Group, int Set), (long Low, long High)> _joined = [];
    private readonly Dictionary<int, (long Low, long High)> _made = [];
    private readonly Dictionary<(int Part, int Group), (long Low, long High)> _counts = [];

    /// <summary>Lots opened at least and at most.</summary>
    public (long Low, long High) Opened { get; private set; } = Any;

    /// <summary>Lots beyond the first in all slices together, at least and at most.</summary>
    public (long Low, long High) Joins { get; private set; } = Any;

    /// <summary>The only ways in which a lot may be used, where they are so few that they are known.</summary>
    public IReadOnlyDictionary<int, LotWays> Ways => _ways;

    private static (long Low, long High) Any => (0, long.MaxValue);

    /// <summary>Whether a lot may give whole slices to a part's group.</summary>
    public bool AllowsWhole(int part, int group, int lot) => !_wholes.Contains((part, group, lot));

    /// <summary>Whether a lot may have a share in a group's joined slices.</summary>
    public bool AllowsShare(int part, int group, int lot) => !_shares.Contains((part, group, lot));

    /// <summary>Joined slices of a set at least and at most.</summary>
    public (long Low, long High) Joined(int part, int group, int set) => _joined.GetValueOrDefault((part, group, set), Any);

    /// <summary>Pieces made at least and at most.</summary>
    public (long Low, long High) Made(int piece, long wanted) => Within(_made.GetValueOrDefault(piece, Any), wanted);

    /// <summary>Slices of a group at least and at most.</summary>
    public (long Low, long High) Count(int part, int group, long wanted) => Within(_counts.GetValueOrDefault((part, group), Any), wanted);

    /// <summary>Keeps a lot to some ways; of two lists that both hold the shorter is kept.</summary>
    public void KeepTo(int lot, LotWays ways)
    {
        if (!_ways.TryGetValue(lot, out LotWays? known) || ways.Ways.Count < known.Ways.Count)
        {
            _ways[lot] = ways;
        }
    }

    public void NoWhole(int part, int group, int lot) => _wholes.Add((part, group, lot));

    public void NoShare(int part, int group, int lot) => _shares.Add((part, group, lot));

    public void LimitJoined(int part, int group, int set, (long Low, long High) limits) => _joined[(part, group, set)] = Both(Joined(part, group, set), limits);

    public void LimitMade(int piece, (long Low, long High) limits) => _made[piece] = Both(_made.GetValueOrDefault(piece, Any), limits);

    public void LimitCount(int part, int group, (long Low, long High) limits) => _counts[(part, group)] = Both(_counts.GetValueOrDefault((part, group), Any), limits);

    public void LimitLots((long Low, long High) opened, (long Low, long High) joins) => (Opened, Joins) = (Both(Opened, opened), Both(Joins, joins));

    /// <summary>What is left out by either.</summary>
    public Exclusions And(Exclusions other)
    {
        Exclusions both = new();
        foreach (Exclusions each in new[] { this, other })
        {
            both._wholes.UnionWith(each._wholes);
            both._shares.UnionWith(each._shares);
            both.LimitLots(each.Opened, each.Joins);
            foreach ((int lot, LotWays ways) in each._ways)
            {
                both.KeepTo(lot, ways);
            }

            foreach (((int part, int group, int set), (long Low, long High) limits) in each._joined)
            {
                both.LimitJoined(part, group, set, limits);
            }

            foreach ((int piece, (long Low, long High) limits) in each._made)
            {
                both.LimitMade(piece, limits);
            }

            foreach (((int part, int group), (long Low, long High) limits) in each._counts)
            {
                both.LimitCount(part, group, limits);
            }
        }

        return both;
    }

    private static (long Low, long High) Both((long Low, long High) one, (long Low, long High) other) => (Math.Max(one.Low, other.Low), Math.Min(one.High, other.High));

    // Limits that leave nothing mean that no plan is as good; a model needs a variable even so.
    private static (long Low, long High) Within((long Low, long High) limits, long wanted) =>
        Math.Min(limits.High, wanted) is var high && limits.Low <= high ? (limits.Low, high) : (wanted, wanted);
}

/// <summary>What a lot gives to a group in a way of using it.</summary>
/// <param name="Set">The set in whose joined slices it has shares; null for whole slices.</param>
/// <param name="Count">Whole slices, or shares; more than none.</param>
internal readonly record struct WayUse(int Part, int Group, int? Set, int Count);

/// <summary>All ways in which a lot may be used: how many whole slices and shares it gives to which groups.</summary>
/// <param name="MayStayClosed">Whether it may be left alone as well.</param>
internal sealed record LotWays(IReadOnlyList<IReadOnlyList<WayUse>> Ways, bool MayStayClosed);
