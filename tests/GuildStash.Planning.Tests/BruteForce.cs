using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Tests;

/// <summary>
/// Tries every plan of a tiny problem, amount by amount, and keeps for each state of the lots the best way to it. Written from the
/// problem's own words; it knows nothing of the planner's models.
/// </summary>
internal sealed class BruteForce
{
    private readonly PlanProblem _problem;
    private readonly int[] _metres;
    private readonly Dictionary<long, Way> _ways = [];

    private BruteForce(PlanProblem problem)
    {
        _problem = problem;
        _metres = [.. problem.Lots.Select(lot => (int)Math.Floor(((double)lot.Mass.Grams * lot.Yarn.Low.MetresPer100Grams / 10) + 1e-9))];
    }

    /// <summary>The best values of all stages in order, and how many states were met.</summary>
    public static (long[] Levels, int States) Best(PlanProblem problem) => new BruteForce(problem).Run();

    private (long[] Levels, int States) Run()
    {
        _ways[Key(_metres, 0)] = new(0, 0, 0);
        foreach (PlanPiece piece in _problem.Pieces)
        {
            for (int i = 0; i < piece.Wanted; i++)
            {
                foreach ((long key, Way way) in _ways.ToArray())
                {
                    int[] left = Left(key, out int minutes);
                    if (minutes + piece.Minutes <= (_problem.MinutesLimit ?? int.MaxValue))
                    {
                        Make(piece, 0, 0, left, [], way with { Points = way.Points + piece.Priority }, _problem.MinutesLimit is null ? 0 : minutes + piece.Minutes);
                    }
                }
            }
        }

        long[] best = _ways.Select(Levels).Aggregate((a, b) => Compare(a, b) >= 0 ? a : b);
        return (best, _ways.Count);
    }

    /// <summary>All ways to give the part its share, the shares of a palette in rising order of family.</summary>
    private void Make(PlanPiece piece, int at, int share, int[] left, List<(string Part, ColourFamily? Family, int First)> chosen, Way way, int minutes)
    {
        if (at == piece.Parts.Count)
        {
            long key = Key(left, minutes);
            if (!_ways.TryGetValue(key, out Way before) || way.CompareTo(before) > 0)
            {
                _ways[key] = way;
            }

            return;
        }

        PlanPart part = piece.Parts[at];
        int shares = part.Colour.Kind == ColourWishKind.Palette ? part.Colour.Count : 1;
        int whole = (int)Math.Ceiling((part.Need.Safe.Metres * 10) - 1e-9);
        int most = part.Colour.Kind == ColourWishKind.OneLot ? 1 : part.MaxLots / shares;
        Draw(part, 0, (whole + shares - 1) / shares, most, left, [], (after, lots) =>
        {
            ColourFamily? family = _problem.Lots[lots[0]].ColourFamily;
            if (!Agrees(part, lots, chosen))
            {
                return;
            }

            chosen.Add((part.Name, family, lots[0]));
            bool done = share + 1 == shares;
            Make(piece, done ? at + 1 : at, done ? 0 : share + 1, after, chosen, way with { Joins = way.Joins + lots.Count - 1, Colour = way.Colour + Misses(part, lots) }, minutes);
            chosen.RemoveAt(chosen.Count - 1);
        });
    }

    private void Draw(PlanPart part, int from, int need, int most, int[] left, List<int> lots, Action<int[], List<int>> found)
    {
        if (need == 0)
        {
            found(left, lots);
            return;
        }

        for (int i = from; i < left.Length && lots.Count < most; i++)
        {
            int strands = Strands(part, _problem.Lots[i]) * part.Strands;
            for (int worked = 1; strands > 0 && worked <= need && worked * strands <= left[i]; worked++)
            {
                int[] after = [.. left];
                after[i] -= worked * strands;
                Draw(part, i + 1, need - worked, most, after, [.. lots, i], found);
            }
        }
    }

    private int Strands(PlanPart part, PlanLot lot)
    {
        WeightClass own = lot.WeightClass!.Value;
        return part.WeightClasses.Contains(own) ? 1 : _problem.Substitutes.Rules.Where(rule => rule.From == own && part.WeightClasses.Contains(rule.To)).Select(rule => rule.Strands).FirstOrDefault();
    }

    private bool Agrees(PlanPart part, List<int> lots, List<(string Part, ColourFamily? Family, int First)> chosen)
    {
        ColourFamily?[] families = [.. lots.Select(lot => _problem.Lots[lot].ColourFamily).Distinct()];
        bool one = families.Length == 1 && (families[0] is not null || lots.Count == 1);
        bool dye = part.DyeLotsMayMix || lots.Count == 1 || lots.All(lot => _problem.Lots[lot].DyeLot is { } own && own == _problem.Lots[lots[0]].DyeLot);
        ColourFamily? main = chosen.Where(each => each.Part == part.Colour.OtherPart).Select(each => each.Family).FirstOrDefault();
        return dye && part.Colour.Kind switch
        {
            ColourWishKind.Any => true,
            ColourWishKind.OneLot => lots.Count == 1,
            ColourWishKind.Family => one && families[0] == part.Colour.Family,
            ColourWishKind.OneFamily => one,
            ColourWishKind.Palette => one && families[0] is { } own && chosen.Where(each => each.Part == part.Name).All(each => each.Family < own),
            ColourWishKind.Match => one && main is not null && families[0] == main,
            // Of the three families in these rooms only pink and red are too near.
            _ => one && main is { } a && families[0] is { } b && a != b && !(a is ColourFamily.Pink or ColourFamily.Red && b is ColourFamily.Pink or ColourFamily.Red),
        };
    }

    private long Misses(PlanPart part, List<int> lots)
    {
        long points = part.Colour.Kind == ColourWishKind.Any ? 10 * (lots.Select(lot => _problem.Lots[lot].ColourFamily).Distinct().Count() - 1) : 0;
        return part.Colour.Target is not { } target
            ? points
            : points + lots.Sum(lot => _problem.Lots[lot].Colour is { } own ? (long)Math.Min(100, Math.Round(ColourDifference.Ciede2000(target.Lab, own.Lab))) : 25);
    }

    private long[] Levels(KeyValuePair<long, Way> state)
    {
        int[] left = Left(state.Key, out _);
        (long opened, long unusable, long wishes) = (0, 0, 0);
        for (int i = 0; i < left.Length; i++)
        {
            if (left[i] == _metres[i])
            {
                continue;
            }

            opened++;
            wishes += _problem.Lots[i].Wish;
            double gramsPerDecimetre = 10 / _problem.Lots[i].Yarn.Low.MetresPer100Grams;
            bool usable = left[i] >= Math.Ceiling((20 / gramsPerDecimetre) - 1e-6);
            unusable += usable ? 0 : left[i] * (long)Math.Round(gramsPerDecimetre * 10_000);
        }

        return [state.Value.Points, opened + state.Value.Joins, unusable, state.Value.Colour, wishes];
    }

    private static int Compare(long[] a, long[] b)
    {
        int at = Enumerable.Range(0, a.Length).FirstOrDefault(i => a[i] != b[i], -1);
        return at < 0 ? 0 : at is 0 or 4 ? a[at].CompareTo(b[at]) : b[at].CompareTo(a[at]);
    }

    private long Key(int[] left, int minutes)
    {
        long key = minutes;
        foreach ((int metres, int own) in left.Zip(_metres))
        {
            key = (key * (own + 1)) + metres;
        }

        return key;
    }

    private int[] Left(long key, out int minutes)
    {
        int[] left = new int[_metres.Length];
        for (int i = left.Length - 1; i >= 0; i--)
        {
            left[i] = (int)(key % (_metres[i] + 1));
            key /= _metres[i] + 1;
        }

        minutes = (int)key;
        return left;
    }

    private readonly record struct Way(long Points, long Joins, long Colour) : IComparable<Way>
    {
        public int CompareTo(Way other) => (Points, -Joins, -Colour).CompareTo((other.Points, -other.Joins, -other.Colour));
    }
}
