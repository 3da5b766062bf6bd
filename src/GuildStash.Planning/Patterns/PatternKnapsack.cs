using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;

namespace GuildStash.Planning.Patterns;

/// <summary>
/// The pattern of one lot that is worth most at given prices. Of the shares in joined slices at most one is neither nothing nor the
/// largest possible: of two such, yarn could be shifted to the better paid. So the others are packed as whole numbers, and one more
/// share takes what is left, or as much as leaves a usable rest.
/// </summary>
internal sealed class PatternKnapsack(LotStock lot, IReadOnlyList<PatternItem> items)
{
    private const double Least = 1e-9;

    private readonly List<Packed> _packed = [];
    private double _opened;
    private double _unusable;
    private Found _best;

    /// <summary>Packings looked at so far: what takes the time.</summary>
    public long Steps { get; private set; }

    /// <returns>What the best pattern is worth beyond its costs, and the pattern; 0 and null where none is worth anything.</returns>
    public (double Worth, LotPattern? Pattern) Best(PatternPrices prices)
    {
        Price(prices);
        _best = new(0, -1, -1, 0);
        foreach (int i in Pack(prices))
        {
            TryAlone(i);
            for (int k = 0; k < items.Count; k++)
            {
                double free = lot.Decimetres - _packed[i].Size;
                TryShare(prices, i, k, free);
                TryShare(prices, i, k, free - lot.UsableFrom);
            }
        }

        if (_opened < 0)
        {
            TryLeast(prices);
        }

        return (_best.Worth, _best.Packed < 0 ? null : Read(_best));
    }

    /// <summary>
    /// What a pattern is worth at most that gives a whole slice, or a share, to each item: like <see cref="Best"/> with one thing set.
    /// A share that is set is the least, the largest, or the one that takes what is left.
    /// </summary>
    public IEnumerable<(PatternItem Item, double Whole, double Share)> Forced(PatternPrices prices)
    {
        Price(prices);
        Packed[] front = [.. Pack(prices).Select(i => _packed[i])];
        foreach (PatternItem item in items)
        {
            double whole = item.MostWhole > 0 ? With(prices, front, item.WholeSize, prices.WorthWhole(item)) : double.NegativeInfinity;
            double share = double.NegativeInfinity;
            if (item.JoinSet is not null)
            {
                (double once, double each) = prices.WorthJoined(item);
                share = Math.Max(With(prices, front, item.Lot.Strands, once + each), With(prices, front, item.LargestShare * item.Lot.Strands, once + (each * item.LargestShare)));
                foreach (Packed packed in front)
                {
                    share = Math.Max(share, Shared(prices, item, packed.Size, packed.Worth));
                }
            }

            yield return (item, whole, share);
        }
    }

    /// <summary>The best of all packings with so much beside them that is set.</summary>
    private double With(PatternPrices prices, Packed[] front, double size, double worth)
    {
        double best = double.NegativeInfinity;
        foreach (Packed packed in front.TakeWhile(each => each.Size + size <= lot.Decimetres))
        {
            best = Math.Max(best, Worth(packed.Size + size, packed.Worth + worth));
            foreach (PatternItem item in items)
            {
                best = Math.Max(best, Shared(prices, item, packed.Size + size, packed.Worth + worth));
            }
        }

        return best;
    }

    /// <summary>The better of one more share that takes what is left and one that leaves a usable rest.</summary>
    private double Shared(PatternPrices prices, PatternItem item, double size, double worth)
    {
        double best = double.NegativeInfinity;
        foreach (double free in new[] { lot.Decimetres - size, lot.Decimetres - size - lot.UsableFrom })
        {
            double worked = Math.Min(free / item.Lot.Strands, item.LargestShare);
            if (item.JoinSet is not null && worked > 0)
            {
                (double once, double each) = prices.WorthJoined(item);
                best = Math.Max(best, Worth(size + (worked * item.Lot.Strands), worth + once + (each * worked)));
            }
        }

        return best;
    }

    /// <summary>All ways of using the lot that are worth so much or more, whatever the lengths of their shares.</summary>
    /// <param name="most">Where there are more, none are listed.</param>
    /// <param name="known">All there are, where that is known.</param>
    public LotWays? Ways(PatternPrices prices, double least, int most, LotWays? known)
    {
        Price(prices);
        WaySearch search = new(lot, items, prices, _opened, _unusable, least, most);
        return known is not null
            ? new([.. known.Ways.Where(search.IsWorthIt)], known.MayStayClosed && least <= 0)
            : search.Run() ? new(search.Found, least <= 0) : null;
    }

    private double Worth(double size, double worth) => worth - _opened - (_unusable * LotPattern.Unusable(lot, lot.Decimetres - size));

    private void Price(PatternPrices prices)
    {
        _unusable = prices.CostOf(PlanStage.Unusable);
        _opened = prices.Opened + (prices.CostOf(PlanStage.Wishes) * lot.Lot.Wish);
    }

    private void TryAlone(int packed)
    {
        double worth = Worth(_packed[packed].Size, _packed[packed].Worth);
        if (packed > 0 && worth > _best.Worth)
        {
            _best = new(worth, packed, -1, 0);
        }
    }

    /// <summary>With one more share of so many decimetres of the lot. It may be one more than the item's most: that loosens the bound a little and is much quicker.</summary>
    private void TryShare(PatternPrices prices, int packed, int item, double decimetres)
    {
        double worked = Math.Min(decimetres / items[item].Lot.Strands, items[item].LargestShare);
        if (items[item].JoinSet is null || worked <= 0)
        {
            return;
        }

        (double once, double each) = prices.WorthJoined(items[item]);
        double left = lot.Decimetres - _packed[packed].Size - (worked * items[item].Lot.Strands);
        double worth = _packed[packed].Worth - _opened + once + (each * worked) - (_unusable * LotPattern.Unusable(lot, left));
        if (worth > _best.Worth)
        {
            _best = new(worth, packed, item, worked);
        }
    }

    /// <summary>Where opening pays by itself: what costs least to open it for.</summary>
    private void TryLeast(PatternPrices prices)
    {
        for (int k = 0; k < items.Count; k++)
        {
            TryShare(prices, 0, k, items[k].Lot.Strands);
            if (items[k].MostWhole > 0)
            {
                _packed.Add(new(items[k].WholeSize, prices.WorthWhole(items[k]), 0, k, false));
                TryAlone(_packed.Count - 1);
            }
        }
    }

    /// <summary>Packings of whole slices and largest shares that another does not beat, by index.</summary>
    private List<int> Pack(PatternPrices prices)
    {
        double rest = _unusable * lot.TenthMg;
        _packed.Clear();
        _packed.Add(new(0, 0, -1, -1, false));
        List<int> front = [0];
        for (int k = 0; k < items.Count; k++)
        {
            PatternItem item = items[k];
            front = With(front, k, false, item.WholeSize, prices.WorthWhole(item), item.MostWhole, rest);
            if (item.JoinSet is not null)
            {
                (double fixedWorth, double each) = prices.WorthJoined(item);
                front = With(front, k, true, item.LargestShare * item.Lot.Strands, fixedWorth + (each * item.LargestShare), item.MostJoined, rest);
            }
        }

        return front;
    }

    private List<int> With(List<int> front, int item, bool joined, long size, double worth, int most, double rest)
    {
        // With a price on rests even what is worth nothing may be packed to leave none.
        if (size <= 0 || worth <= Least - (rest * lot.UsableFrom) || size > lot.Decimetres)
        {
            return front;
        }

        List<int> all = [.. front];
        List<int> before = front;
        for (int n = 1; n <= most && before.Count > 0; n++)
        {
            List<int> more = [];
            foreach (int i in before)
            {
                Packed packed = _packed[i];
                if (packed.Size + size <= lot.Decimetres)
                {
                    more.Add(_packed.Count);
                    _packed.Add(new(packed.Size + size, packed.Worth + worth, i, item, joined));
                }
            }

            all.AddRange(more);
            before = more;
        }

        Steps += all.Count;
        return Unbeaten(all, rest);
    }

    /// <summary>A packing beats a larger one that is not worth more than it, be the rest of the smaller one all of no use.</summary>
    private List<int> Unbeaten(List<int> all, double rest)
    {
        all.Sort((a, b) => _packed[a].Size.CompareTo(_packed[b].Size) is var order && order != 0 ? order : _packed[b].Worth.CompareTo(_packed[a].Worth));
        List<int> unbeaten = [];
        double best = double.NegativeInfinity;
        foreach (int i in all)
        {
            double worth = _packed[i].Worth + (rest * _packed[i].Size);
            if (worth > best)
            {
                unbeaten.Add(i);
                best = worth;
            }
        }

        return unbeaten;
    }

    private LotPattern Read(Found found)
    {
        Dictionary<PatternItem, PatternUse> uses = [];
        if (found.Item >= 0)
        {
            uses[items[found.Item]] = new(0, 1, found.Worked);
        }

        for (int i = found.Packed; i > 0; i = _packed[i].Before)
        {
            PatternItem item = items[_packed[i].Item];
            PatternUse use = uses.GetValueOrDefault(item);
            uses[item] = _packed[i].IsJoined ? use.Plus(0, 1, item.LargestShare) : use.Plus(1, 0, 0);
        }

        return new(lot, uses);
    }

    /// <param name="Item">Which gives one more share, or −1.</param>
    private readonly record struct Found(double Worth, int Packed, int Item, double Worked);

    /// <param name="Before">The packing it adds one slice or share to.</param>
    private readonly record struct Packed(long Size, double Worth, int Before, int Item, bool IsJoined);
}
