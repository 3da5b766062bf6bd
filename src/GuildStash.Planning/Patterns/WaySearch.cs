using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;

namespace GuildStash.Planning.Patterns;

/// <summary>
/// Lists every way of using a lot that is worth enough at given prices: item by item, turning back where all that is left would not be
/// worth enough if it went to the best paid item. Shares are counted and have one worked decimetre at least; their lengths stay open.
/// </summary>
internal sealed class WaySearch
{
    /// <summary>Ways looked at for one that is listed at most; a lot with more is left unlisted.</summary>
    private const int StepsPerWay = 40;

    private readonly LotStock _lot;
    private readonly PatternItem[] _items;
    private readonly PatternPrices _prices;
    private readonly double _opened;
    private readonly double _unusable;
    private readonly double _least;
    private readonly int _most;
    private readonly double[] _bestPaid;
    private readonly int[] _wholes;
    private readonly int[] _shares;
    private int _steps;

    /// <param name="opened">What opening the lot costs.</param>
    /// <param name="unusable">What a tenth of a milligram of no use costs.</param>
    public WaySearch(LotStock lot, IReadOnlyList<PatternItem> items, PatternPrices prices, double opened, double unusable, double least, int most)
    {
        (_lot, _prices, _opened, _unusable, _least, _most) = (lot, prices, opened, unusable, least, most);
        _items = [.. items.OrderByDescending(item => item.WholeSize)];
        (_wholes, _shares) = (new int[_items.Length], new int[_items.Length]);
        _bestPaid = new double[_items.Length + 1];
        for (int k = _items.Length - 1; k >= 0; k--)
        {
            PatternItem item = _items[k];
            double whole = item.MostWhole > 0 ? prices.WorthWhole(item) / item.WholeSize : 0;
            double share = 0;
            if (item.JoinSet is not null)
            {
                (double once, double each) = prices.WorthJoined(item);
                // The share of one decimetre may be paid best of all, where having a share is itself worth something.
                share = Math.Max(Math.Max(0, once) + each, 0) / item.Lot.Strands;
            }

            _bestPaid[k] = Math.Max(_bestPaid[k + 1], Math.Max(whole, share));
        }
    }

    public List<IReadOnlyList<WayUse>> Found { get; } = [];

    /// <returns>Whether all were listed.</returns>
    public bool Run() => From(0, _lot.Decimetres, 0);

    /// <summary>Whether a way that is known is worth enough at these prices; no where it gives to what is ruled out.</summary>
    public bool IsWorthIt(IReadOnlyList<WayUse> uses)
    {
        Array.Clear(_wholes);
        Array.Clear(_shares);
        long free = _lot.Decimetres;
        double worth = 0;
        foreach (WayUse use in uses)
        {
            int k = Array.FindIndex(_items, item => item.Part.Index == use.Part && item.Group == use.Group);
            if (k < 0 || use.Count > (use.Set is null ? _items[k].MostWhole : _items[k].MostJoined) || (use.Set is not null && _items[k].JoinSet is null))
            {
                return false;
            }

            (use.Set is null ? _wholes : _shares)[k] = use.Count;
            free -= use.Count * (use.Set is null ? _items[k].WholeSize : _items[k].Lot.Strands);
            worth += use.Set is null ? use.Count * _prices.WorthWhole(_items[k]) : Shares(_items[k], use.Count);
        }

        return IsWorth(free, worth, _items.Length);
    }

    private bool IsWorth(long free, double worth, int k) =>
        worth + Lengths(free, k) - _opened >= _least
        && (k < _items.Length || _shares.Any(each => each > 0) || worth - _opened - (_unusable * LotPattern.Unusable(_lot, free)) >= _least);

    /// <summary>What shares of one worked decimetre each are worth.</summary>
    private double Shares(PatternItem item, int count) => _prices.WorthJoined(item) is var (once, each) ? count * (once + each) : 0;

    /// <param name="free">Decimetres that are not given away yet.</param>
    /// <param name="worth">Of whole slices and of shares of one decimetre, not of the lengths of shares.</param>
    private bool From(int k, long free, double worth)
    {
        if (++_steps > _most * StepsPerWay || Found.Count > _most)
        {
            return false;
        }

        if (!IsWorth(free, worth, k))
        {
            return true;
        }

        if (k == _items.Length)
        {
            List();
            return Found.Count <= _most;
        }

        PatternItem item = _items[k];
        for (int whole = 0; whole <= item.MostWhole && whole * item.WholeSize <= free; whole++)
        {
            for (int share = 0; share <= item.MostJoined && (whole * item.WholeSize) + (share * (long)item.Lot.Strands) <= free; share++)
            {
                (_wholes[k], _shares[k]) = (whole, share);
                double more = (whole > 0 ? whole * _prices.WorthWhole(item) : 0) + (share > 0 ? Shares(item, share) : 0);
                if (!From(k + 1, free - (whole * item.WholeSize) - (share * (long)item.Lot.Strands), worth + more))
                {
                    return false;
                }
            }
        }

        (_wholes[k], _shares[k]) = (0, 0);
        return true;
    }

    /// <summary>What the free decimetres are worth at most: in the shares that are counted already, and in items from k on.</summary>
    private double Lengths(long free, int k)
    {
        double best = _bestPaid[k];
        for (int i = 0; i < k; i++)
        {
            if (_shares[i] > 0)
            {
                best = Math.Max(best, _prices.WorthJoined(_items[i]).Worked / _items[i].Lot.Strands);
            }
        }

        return best * free;
    }

    private void List()
    {
        List<WayUse> uses = [];
        for (int i = 0; i < _items.Length; i++)
        {
            if (_wholes[i] > 0)
            {
                uses.Add(new(_items[i].Part.Index, _items[i].Group, null, _wholes[i]));
            }

            if (_shares[i] > 0)
            {
                uses.Add(new(_items[i].Part.Index, _items[i].Group, _items[i].JoinSet, _shares[i]));
            }
        }

        if (uses.Count > 0)
        {
            Found.Add(uses);
        }
    }
}
