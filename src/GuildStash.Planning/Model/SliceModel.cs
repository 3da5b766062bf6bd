using Google.OrTools.Sat;
using GuildStash.Domain.Colours;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Model;

/// <summary>
/// The full model: slices that one lot gives whole are one number for each lot; joined slices are numbered, since it matters which
/// lots meet in one. A set of n lots needs at most n − 1 joined slices: where lots and slices form a ring, yarn can be shifted round it
/// until one link is gone.
/// </summary>
internal sealed class SliceModel : ModelFrame
{
    private readonly List<(int Part, int Group, Candidate Lot, IntVar Number)> _wholes = [];
    private readonly List<Joined> _joined = [];

    public SliceModel(FittedPlan plan, ModelScope scope, Draft start)
        : base(plan, scope.Without)
    {
        ILookup<(int, int), Slice> joined = start.Slices.Where(slice => slice.Draws.Count > 1).ToLookup(slice => (slice.Part, slice.Group));
        foreach (PartFit part in plan.Parts)
        {
            for (int g = 0; g < part.Groups.Count; g++)
            {
                AddGroup(part, g, scope, joined[(part.Index, g)].Count());
            }
        }

        Frame();
        (long fewest, long most) = scope.Without.Joins;
        if (fewest > 0 || most < long.MaxValue)
        {
            Model.AddLinearConstraint(Sum(Joins), fewest, Math.Min(most, int.MaxValue));
        }

        OpenBetween(scope.Without.Opened);
        foreach ((int lot, LotWays ways) in scope.Without.Ways.Where(each => scope.Lots(each.Key)))
        {
            AddWays(lot, ways);
        }
    }

    /// <summary>Binds what a lot gives to the ways in which it may be used: there is no other, and each has its own rest.</summary>
    private void AddWays(int lot, LotWays ways)
    {
        Dictionary<(int Part, int Group), IntVar> wholes = _wholes.Where(each => each.Lot.Lot == lot).ToDictionary(each => (each.Part, each.Group), each => each.Number);
        Dictionary<(int Part, int Group), LinearExpr> shares = _joined
            .SelectMany(slot => slot.Draws.Where(draw => draw.Lot.Lot == lot), (slot, draw) => (Key: (slot.Part.Index, slot.Group), draw.Used))
            .GroupBy(each => each.Key, each => each.Used).ToDictionary(each => each.Key, LinearExpr.Sum);
        List<(BoolVar Var, IReadOnlyList<WayUse> Uses)> all = [];
        foreach (IReadOnlyList<WayUse> uses in ways.Ways)
        {
            // What an earlier list still had may be ruled out since.
            if (uses.All(use => use.Set is null ? wholes.ContainsKey((use.Part, use.Group)) : shares.ContainsKey((use.Part, use.Group))))
            {
                BoolVar way = Model.NewBoolVar("way");
                all.Add((way, uses));
                Way(lot, way, uses.Any(use => use.Set is not null) ? null : Plan.Lots[lot].Decimetres - uses.Sum(use => use.Count * TakenBy(lot, use)));
            }
        }

        if (!ways.MayStayClosed)
        {
            Model.Add(LinearExpr.Sum(all.Select(each => each.Var)) == 1);
        }

        foreach (((int part, int group), IntVar number) in wholes)
        {
            Model.Add(number == Counted(all, part, group, isWhole: true));
        }

        foreach (((int part, int group), LinearExpr number) in shares)
        {
            Model.Add(number == Counted(all, part, group, isWhole: false));
        }
    }

    private long TakenBy(int lot, WayUse use) => Plan.Parts[use.Part].Need * Plan.Parts[use.Part].Groups[use.Group].Candidates.First(each => each.Lot == lot).Strands;

    private static LinearExpr Counted(List<(BoolVar Var, IReadOnlyList<WayUse> Uses)> ways, int part, int group, bool isWhole) => Sum(ways
        .SelectMany(way => way.Uses.Where(use => use.Part == part && use.Group == group && use.Set is null == isWhole), (way, use) => ((IntVar)way.Var, (long)use.Count)));

    /// <summary>Number of lots in joined slices that a problem needs.</summary>
    public static long SizeOf(FittedPlan plan, ModelScope scope) => plan.Parts.Sum(part => part.Groups.Select((group, g) => group.JoinSets.Select((_, s) =>
    {
        int lots = scope.Shares(part, g, s).Count();
        return (long)lots * scope.Slots(part, g, s, lots, plan.Problem.Pieces[part.Piece].Wanted);
    }).Sum()).Sum());

    private void AddGroup(PartFit part, int g, ModelScope scope, int started)
    {
        ShadeGroup group = part.Groups[g];
        List<IntVar> counts = [];
        foreach (Candidate lot in scope.Wholes(part, g))
        {
            long most = Math.Min(lot.Reach / part.Need, Wanted(part));
            IntVar whole = Model.NewIntVar(0, most, "whole");
            Takes(lot.Lot, whole, part.Need * lot.Strands);
            Uses(lot.Lot, whole, most);
            Points.Add((whole, lot.Colour));
            _wholes.Add((part.Index, g, lot, whole));
            counts.Add(whole);
        }

        for (int s = 0; s < group.JoinSets.Count; s++)
        {
            Candidate[] lots = [.. scope.Shares(part, g, s)];
            // A draft that a hand made may hold more than are ever needed.
            int slots = lots.Length < 2 ? 0 : Math.Max(scope.Slots(part, g, s, lots.Length, Wanted(part)), Math.Min(started, Wanted(part)));
            long least = scope.Without.Joined(part.Index, g, s).Low;
            Joined? before = null;
            for (int j = 0; j < slots; j++)
            {
                Joined slot = AddJoined(part, g, lots);
                if (before is not null)
                {
                    Model.AddImplication(slot.Made, before.Made);
                }

                _joined.Add(slot);
                counts.Add(slot.Made);
                before = slot;
                if (j < least)
                {
                    Model.Add(slot.Made == 1);
                }
            }
        }

        Model.Add(LinearExpr.Sum(counts) == Counts[part.Index][g]);
    }

    private Joined AddJoined(PartFit part, int g, Candidate[] lots)
    {
        Joined slot = new(part, g, Model.NewBoolVar("joined"));
        foreach (Candidate lot in lots)
        {
            long most = Math.Min(lot.Reach, part.Need);
            BoolVar used = Model.NewBoolVar("used");
            IntVar worked = Model.NewIntVar(0, most, "worked");
            Model.Add(worked <= most * used);
            Model.AddImplication(used, slot.Made);
            Takes(lot.Lot, worked, lot.Strands);
            Uses(lot.Lot, used, 1);
            Joins.Add((used, 1));
            Points.Add((used, lot.Colour));
            slot.Draws.Add((lot, used, worked));
        }

        Joins.Add((slot.Made, -1));
        Model.Add(LinearExpr.Sum(slot.Draws.Select(draw => draw.Worked)) == part.Need * slot.Made);
        Model.Add(LinearExpr.Sum(slot.Draws.Select(draw => draw.Used)) <= part.MostLots * slot.Made);
        Model.Add(LinearExpr.Sum(slot.Draws.Select(draw => draw.Used)) >= slot.Made);
        if (part.CountsFamilies)
        {
            AddFamilies(slot);
        }

        return slot;
    }

    private void AddFamilies(Joined slot)
    {
        foreach (IGrouping<ColourFamily?, (Candidate Lot, BoolVar Used, IntVar Worked)> family in slot.Draws.GroupBy(draw => Plan.Lots[draw.Lot.Lot].Lot.ColourFamily))
        {
            BoolVar seen = Model.NewBoolVar("family");
            foreach ((_, BoolVar used, _) in family)
            {
                Model.AddImplication(used, seen);
            }

            slot.Families.Add((family.Key, seen));
            Points.Add((seen, Score.MixedFamily));
        }

        Points.Add((slot.Made, -Score.MixedFamily));
    }

    public void Hint(Draft draft)
    {
        HintFrame(draft);
        ILookup<(int, int, int), Slice> wholes = draft.Slices.Where(slice => slice.Draws.Count == 1).ToLookup(slice => (slice.Part, slice.Group, slice.Draws[0].Lot));
        foreach ((int part, int group, Candidate lot, IntVar number) in _wholes)
        {
            Model.AddHint(number, wholes[(part, group, lot.Lot)].Count());
        }

        Dictionary<(int, int), List<Slice>> joined = draft.Slices.Where(slice => slice.Draws.Count > 1)
            .GroupBy(slice => (slice.Part, slice.Group)).ToDictionary(group => group.Key, group => group.ToList());
        foreach (Joined slot in _joined)
        {
            List<Slice> waiting = joined.GetValueOrDefault((slot.Part.Index, slot.Group)) ?? [];
            HashSet<int> lots = [.. slot.Draws.Select(draw => draw.Lot.Lot)];
            Slice? slice = waiting.FirstOrDefault(each => each.Draws.All(draw => lots.Contains(draw.Lot)));
            if (slice is not null)
            {
                waiting.Remove(slice);
            }

            HintSlot(slot, slice?.Draws ?? []);
        }
    }

    private void HintSlot(Joined slot, IReadOnlyList<Draw> draws)
    {
        Model.AddHint(slot.Made, draws.Count > 0);
        foreach ((Candidate lot, BoolVar used, IntVar worked) in slot.Draws)
        {
            long amount = draws.Where(draw => draw.Lot == lot.Lot).Sum(draw => draw.Worked);
            Model.AddHint(used, amount > 0);
            Model.AddHint(worked, amount);
        }

        foreach ((ColourFamily? family, BoolVar seen) in slot.Families)
        {
            Model.AddHint(seen, draws.Any(draw => Plan.Lots[draw.Lot].Lot.ColourFamily == family));
        }
    }

    /// <summary>The solver's answer as pieces.</summary>
    public Draft Read(CpSolver solved)
    {
        Dictionary<(int, int), Queue<Slice>> slices = [];
        foreach (Slice slice in ReadSlices(solved))
        {
            if (!slices.TryGetValue((slice.Part, slice.Group), out Queue<Slice>? queue))
            {
                slices[(slice.Part, slice.Group)] = queue = new();
            }

            queue.Enqueue(slice);
        }

        List<Copy> copies = [];
        for (int piece = 0; piece < Made.Length; piece++)
        {
            copies.AddRange(Together(piece, (int)solved.Value(Made[piece]), slices, solved));
        }

        return new(copies);
    }

    private IEnumerable<Slice> ReadSlices(CpSolver solved)
    {
        foreach ((int part, int group, Candidate lot, IntVar number) in _wholes)
        {
            for (long i = solved.Value(number); i > 0; i--)
            {
                yield return new(part, group, [new(lot.Lot, lot.Strands, Plan.Parts[part].Need)]);
            }
        }

        foreach (Joined slot in _joined.Where(slot => solved.BooleanValue(slot.Made)))
        {
            yield return new(slot.Part.Index, slot.Group, [.. slot.Draws.Where(draw => solved.Value(draw.Worked) > 0)
                .Select(draw => new Draw(draw.Lot.Lot, draw.Lot.Strands, solved.Value(draw.Worked)))]);
        }
    }

    /// <summary>Puts the slices of a kind together to pieces, so that what must match or stand out does.</summary>
    private List<Copy> Together(int piece, int made, Dictionary<(int, int), Queue<Slice>> slices, CpSolver solved)
    {
        List<Slice>[] copies = [.. Enumerable.Range(0, made).Select(_ => new List<Slice>())];
        foreach (PartFit part in Plan.PartsOf[piece])
        {
            IEnumerable<Slice> inOrder = Enumerable.Range(0, part.Groups.Count).SelectMany(g => slices.GetValueOrDefault((part.Index, g)) ?? []);
            if (part.Main is not { } main)
            {
                // Dealt in turn, a family's slices, of which there are no more than pieces, all fall to different ones.
                int at = 0;
                foreach (Slice slice in inOrder)
                {
                    copies[at++ % made].Add(slice);
                }

                continue;
            }

            Func<int, int, long> pairs = PairsOf(part, solved);
            for (int h = 0; h < main.Groups.Count; h++)
            {
                Queue<List<Slice>> beside = new(copies.Where(copy => copy.First(slice => slice.Part == main.Index).Group == h));
                for (int g = 0; g < part.Groups.Count; g++)
                {
                    for (long i = pairs(g, h); i > 0; i--)
                    {
                        beside.Dequeue().Add(slices[(part.Index, g)].Dequeue());
                    }
                }
            }
        }

        return [.. copies.Select(copy => new Copy(piece, copy))];
    }

    private sealed record Joined(PartFit Part, int Group, BoolVar Made)
    {
        public List<(Candidate Lot, BoolVar Used, IntVar Worked)> Draws { get; } = [];

        public List<(ColourFamily? Family, BoolVar Seen)> Families { get; } = [];
    }
}
