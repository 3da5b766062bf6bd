using GuildStash.Domain.Quantities;
using GuildStash.Planning.Answers;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Risk;

/// <summary>Chances that a plan's pieces run short.</summary>
/// <param name="OfAny">That at least one piece does.</param>
/// <param name="Expected">Pieces that do, on average.</param>
/// <param name="OfPiece">For each kind, that one piece of it picked at random does.</param>
internal sealed record ShortChances(double OfAny, double Expected, IReadOnlyList<double> OfPiece, IReadOnlyList<MeasureAdvice> Advice);

/// <summary>
/// Draws how long every lot really is, again and again, and counts the pieces whose weighed-out grams are too short. Of a class's
/// variance a part is one factor for all lots that rest on the class, the rest each lot's own (docs/adr/0007); a need with a range is
/// drawn once for all pieces of a kind, since it comes from one pattern.
/// </summary>
internal sealed class ShortSimulation
{
    /// <summary>A chance of 5 % is then told within ± 0.5 points (two standard errors, computed).</summary>
    public const int Draws = 8_192;
    private const int MostAdvice = 5;

    private readonly FittedPlan _plan;
    private readonly SliceYarn[] _slices;
    private readonly int[] _lots;
    private readonly double[] _actual;
    private readonly double[] _needs;
    private readonly Dictionary<int, (double Saved, int Settled)> _credit = [];

    private ShortSimulation(FittedPlan plan, IReadOnlyList<Portion> portions)
    {
        _plan = plan;
        _slices = [.. portions.GroupBy(portion => (portion.Copy, portion.Slice)).Select(slice => new SliceYarn(
            slice.Key.Copy, slice.First().Part, [.. slice.Select(each => new LotYarnInSlice(each.Draw.Lot, each.Mass.Milligrams / 100_000.0 / each.Draw.Strands))]))];
        _lots = [.. portions.Select(portion => portion.Draw.Lot).Distinct().Order()];
        _actual = new double[plan.Lots.Count];
        _needs = new double[plan.Parts.Count];
    }

    public static ShortChances Run(FittedPlan plan, Draft draft, IReadOnlyList<Portion> portions, int seed) => new ShortSimulation(plan, portions).Count(draft, seed);

    private ShortChances Count(Draft draft, int seed)
    {
        SeededNormals normals = new(seed);
        int[] copies = draft.Made(_plan);
        double[] ofPiece = new double[copies.Length];
        (int any, long total) = (0, 0);
        HashSet<int> shortCopies = [];
        Dictionary<int, HashSet<int>> saved = [];
        for (int k = 0; k < Draws; k++)
        {
            DrawAll(ref normals);
            shortCopies.Clear();
            saved.Clear();
            foreach (SliceYarn slice in _slices)
            {
                Look(slice, shortCopies, saved);
            }

            any += shortCopies.Count > 0 ? 1 : 0;
            total += shortCopies.Count;
            foreach (int copy in shortCopies)
            {
                ofPiece[draft.Copies[copy].Piece]++;
            }

            Credit(shortCopies, saved);
        }

        return new(
            (double)any / Draws,
            (double)total / Draws,
            [.. ofPiece.Select((count, i) => copies[i] == 0 ? 0 : count / Draws / copies[i])],
            [.. Advice(any)]);
    }

    private void DrawAll(ref SeededNormals normals)
    {
        Span<double> ofClass = stackalloc double[LengthDraws.Classes];
        LengthDraws.Factors(ofClass, ref normals);
        foreach (int lot in _lots)
        {
            _actual[lot] = LengthDraws.Yarn(_plan.Lots[lot].Lot.Yarn, ofClass, ref normals);
        }

        foreach (PartFit part in _plan.Parts)
        {
            _needs[part.Index] = LengthDraws.Need(part.Part.Need, ref normals) / part.Slices;
        }
    }

    private void Look(SliceYarn slice, HashSet<int> shortCopies, Dictionary<int, HashSet<int>> saved)
    {
        double need = _needs[slice.Part] - LengthDraws.Tolerance;
        double length = 0;
        foreach (LotYarnInSlice yarn in slice.Lots)
        {
            length += yarn.Hundreds * _actual[yarn.Lot];
        }

        if (length >= need)
        {
            return;
        }

        shortCopies.Add(slice.Copy);
        foreach (LotYarnInSlice yarn in slice.Lots)
        {
            double reckoned = _plan.Lots[yarn.Lot].Density.MetresPer100Grams;
            if (length + (yarn.Hundreds * Math.Max(0, reckoned - _actual[yarn.Lot])) >= need)
            {
                (saved.TryGetValue(yarn.Lot, out HashSet<int>? copies) ? copies : saved[yarn.Lot] = []).Add(slice.Copy);
            }
        }
    }

    private void Credit(HashSet<int> shortCopies, Dictionary<int, HashSet<int>> saved)
    {
        foreach ((int lot, HashSet<int> copies) in saved)
        {
            (double before, int settled) = _credit.GetValueOrDefault(lot);
            _credit[lot] = (before + copies.Count, settled + (copies.Count == shortCopies.Count ? 1 : 0));
        }
    }

    private IEnumerable<MeasureAdvice> Advice(int any) => _credit
        .OrderByDescending(each => each.Value.Saved).ThenBy(each => each.Key)
        .Take(MostAdvice)
        .Select(each => new MeasureAdvice(
            _plan.Lots[each.Key].Lot.Code,
            Math.Round(each.Value.Saved / Draws, 4),
            (double)(any - each.Value.Settled) / Draws,
            InDoubt(_plan.Lots[each.Key])));

    private Length InDoubt(LotStock lot)
    {
        double hundreds = _slices.SelectMany(slice => slice.Lots).Where(each => each.Lot == lot.Index).Sum(each => each.Hundreds);
        return Length.FromMetres(Math.Max(0, hundreds * (lot.Lot.Yarn.Likely.MetresPer100Grams - lot.Density.MetresPer100Grams)));
    }

    /// <param name="Hundreds">Hundreds of grams for one strand.</param>
    private readonly record struct LotYarnInSlice(int Lot, double Hundreds);

    private sealed record SliceYarn(int Copy, int Part, LotYarnInSlice[] Lots);
}
