using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Drafts;

/// <summary>How a hand without a plan reaches for yarn.</summary>
internal enum Reach
{
    /// <summary>Always the lot with the most left.</summary>
    LargestFirst = 0,

    /// <summary>The smallest lot that suffices; where none does, the largest and then the smallest that completes it.</summary>
    BestFit = 1,
}

/// <summary>In which order a hand makes the pieces.</summary>
internal enum Turn
{
    /// <summary>The highest priority first, then as they were given.</summary>
    Priority = 0,

    /// <summary>The most priority for the length first.</summary>
    Value = 1,

    /// <summary>The longest need first.</summary>
    Longest = 2,
}

/// <summary>Makes one piece after the other as long as yarn is found for it: what people do without a planner, and where the planner starts.</summary>
internal sealed class GreedyHand(FittedPlan plan, Reach reach, Func<bool> isOver)
{
    /// <summary>A piece with many parts and families is given up after so many tries.</summary>
    private const int MostTries = 500;

    private readonly long[] _left = [.. plan.Lots.Select(lot => lot.Decimetres)];
    private readonly Dictionary<(int Part, int Lot), long>? _quotas;
    private int _tries;
    private long _minutes = plan.Problem.MinutesLimit ?? long.MaxValue;

    private GreedyHand(FittedPlan plan, Dictionary<(int Part, int Lot), long> quotas, Func<bool> isOver)
        : this(plan, Reach.BestFit, isOver) => _quotas = quotas;

    /// <summary>A hand that first keeps to what each part may take of each lot, and then goes on without.</summary>
    public static Draft Guided(FittedPlan plan, Dictionary<(int Part, int Lot), long> quotas, Func<bool> isOver) =>
        Complete(plan, new GreedyHand(plan, new Dictionary<(int Part, int Lot), long>(quotas), isOver).Run(Turn.Value, Draft.Empty), Reach.BestFit, Turn.Value, isOver);

    /// <param name="isOver">Asked before each piece; null lets the hand finish.</param>
    public static Draft Make(FittedPlan plan, Reach reach, Turn turn, Func<bool>? isOver = null) => new GreedyHand(plan, reach, isOver ?? (() => false)).Run(turn, Draft.Empty);

    /// <summary>Goes on with a draft as long as anything more can be made.</summary>
    public static Draft Complete(FittedPlan plan, Draft draft, Reach reach, Turn turn, Func<bool>? isOver = null) => new GreedyHand(plan, reach, isOver ?? (() => false)).Run(turn, draft);

    private Draft Run(Turn turn, Draft start)
    {
        List<Copy> copies = [.. start.Copies];
        foreach (Copy copy in copies)
        {
            _minutes -= plan.Problem.Pieces[copy.Piece].Minutes;
            Take(copy.Slices, 1);
        }

        int[] made = start.Made(plan);
        foreach (int piece in Order(turn))
        {
            int wanted = plan.Problem.Pieces[piece].Wanted - made[piece];
            while (wanted-- > 0 && !isOver() && plan.Problem.Pieces[piece].Minutes <= _minutes && TryMake(piece) is { } slices)
            {
                _minutes -= plan.Problem.Pieces[piece].Minutes;
                copies.Add(new(piece, slices));
            }
        }

        return new(copies);
    }

    private IEnumerable<int> Order(Turn turn)
    {
        IEnumerable<int> all = Enumerable.Range(0, plan.Problem.Pieces.Count);
        double Need(int piece) => plan.PartsOf[piece].Sum(part => (double)part.Need * part.Slices * part.Part.Strands);
        return turn switch
        {
            Turn.Priority => all.OrderByDescending(piece => plan.Problem.Pieces[piece].Priority),
            Turn.Value => all.OrderByDescending(piece => plan.Problem.Pieces[piece].Priority / Need(piece)),
            _ => all.OrderByDescending(Need),
        };
    }

    private List<Slice>? TryMake(int piece)
    {
        List<Slice> slices = [];
        _tries = MostTries;
        return TryParts(plan.PartsOf[piece], 0, 0, slices) ? slices : null;
    }

    /// <summary>Goes through the parts and their slices, and back where a later one finds nothing.</summary>
    private bool TryParts(PartFit[] parts, int at, int slice, List<Slice> chosen)
    {
        if (at == parts.Length)
        {
            return true;
        }

        PartFit part = parts[at];
        foreach (int g in GroupsFor(part, chosen))
        {
            if (_tries-- <= 0)
            {
                return false;
            }

            if (Fill(part, part.Groups[g]) is not { } draws)
            {
                continue;
            }

            Slice made = new(part.Index, g, draws);
            Take([made], 1);
            chosen.Add(made);
            bool last = slice + 1 == part.Slices;
            if (TryParts(parts, last ? at + 1 : at, last ? 0 : slice + 1, chosen))
            {
                return true;
            }

            chosen.RemoveAt(chosen.Count - 1);
            Take([made], -1);
        }

        return false;
    }

    /// <summary>Groups that the part may take beside what is chosen, the one with the most left first.</summary>
    private IEnumerable<int> GroupsFor(PartFit part, List<Slice> chosen)
    {
        IEnumerable<int> groups = Enumerable.Range(0, part.Groups.Count).Where(g => !chosen.Any(slice => slice.Part == part.Index && slice.Group == g));
        if (part.Main is { } main)
        {
            ShadeGroup beside = main.Groups[chosen.First(slice => slice.Part == main.Index).Group];
            groups = groups.Where(g => part.GoesWith(part.Groups[g], beside));
        }

        return part.Groups.Count == 1 ? [.. groups] : [.. groups.OrderByDescending(g => part.Groups[g].Candidates.Sum(each => Left(part, each)))];
    }

    private long Left(PartFit part, Candidate candidate)
    {
        long left = _left[candidate.Lot] / candidate.Strands;
        return _quotas is null ? left : Math.Min(left, _quotas.GetValueOrDefault((part.Index, candidate.Lot)));
    }

    private List<Draw>? Fill(PartFit part, ShadeGroup group)
    {
        Candidate? whole = Suitable(part, group.Candidates, part.Need);
        if (whole is not null)
        {
            return [new(whole.Lot, whole.Strands, part.Need)];
        }

        return group.JoinSets.Select(set => Join(part, group, set)).FirstOrDefault(draws => draws is not null);
    }

    private List<Draw>? Join(PartFit part, ShadeGroup group, int[] set)
    {
        List<Draw> draws = [];
        List<Candidate> open = [.. set.Select(i => group.Candidates[i])];
        long need = part.Need;
        while (need > 0 && draws.Count < part.MostLots)
        {
            Candidate? next = Suitable(part, open, need) ?? open.Where(each => Left(part, each) > 0).MaxBy(each => Left(part, each));
            if (next is null)
            {
                return null;
            }

            long worked = Math.Min(need, Left(part, next));
            draws.Add(new(next.Lot, next.Strands, worked));
            open.Remove(next);
            need -= worked;
        }

        return need == 0 ? draws : null;
    }

    /// <summary>The lot that the hand takes when one suffices; null where none does.</summary>
    private Candidate? Suitable(PartFit part, IEnumerable<Candidate> candidates, long need)
    {
        IEnumerable<Candidate> enough = candidates.Where(each => Left(part, each) >= need);
        return reach == Reach.LargestFirst ? enough.MaxBy(each => Left(part, each)) : enough.MinBy(each => Left(part, each));
    }

    private void Take(IReadOnlyList<Slice> slices, int sign)
    {
        foreach (Slice slice in slices)
        {
            foreach (Draw draw in slice.Draws)
            {
                _left[draw.Lot] -= sign * draw.Taken;
                if (_quotas is not null)
                {
                    _quotas[(slice.Part, draw.Lot)] = _quotas.GetValueOrDefault((slice.Part, draw.Lot)) - (sign * draw.Worked);
                }
            }
        }
    }
}
