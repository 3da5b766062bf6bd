using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Answers;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;

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
    private const int Classes = 10;
    private const int MostAdvice = 5;

    /// <summary>Half a millimetre: grams are rounded to the milligram, which is no shortfall.</summary>
    private const double Tolerance = 5e-4;

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
        Span<double> ofClass = stackalloc double[Classes];
        for (int i = 0; i < Classes; i++)
        {
            ofClass[i] = normals.Next();
        }

        foreach (int lot in _lots)
        {
            _actual[lot] = DrawYarn(_plan.Lots[lot].Lot.Yarn, ofClass, ref normals);
        }

        foreach (PartFit part in _plan.Parts)
        {
            double log = part.Part.Need.IsExact ? 0 : normals.Next();
            _needs[part.Index] = NeedOf(part, log);
        }
    }

    private static double DrawYarn(LotYarn yarn, ReadOnlySpan<double> ofClass, ref SeededNormals normals)
    {
        double shared = TotalSettings.Default.SharedPart;
        if (yarn.Distribution.Count == 0)
        {
            double z = yarn is { RestsOnClass: true, WeightClass: { } weightClass }
                ? (Math.Sqrt(shared) * ofClass[(int)weightClass]) + (Math.Sqrt(1 - shared) * normals.Next())
                : normals.Next();
            return yarn.Likely.MetresPer100Grams * Math.Exp(z * (z < 0 ? yarn.LogSdBelow : yarn.LogSdAbove));
        }

        double at = normals.Uniform();
        int c = 0;
        while (c < yarn.Distribution.Count - 1 && (at -= yarn.Distribution[c].Weight) > 0)
        {
            c++;
        }

        LengthComponent part = yarn.Distribution[c];
        double together = part.ClassSd * Math.Sqrt(shared);
        double own = Math.Sqrt(Math.Max(0, (part.Sd * part.Sd) - (together * together)));
        return Math.Exp(part.Mean + (together * ofClass[(int)part.WeightClass]) + (own * normals.Next()));
    }

    private static double NeedOf(PartFit part, double z)
    {
        LengthNeed need = part.Part.Need;
        if (need.IsExact)
        {
            return need.Safe.Metres / part.Slices;
        }

        Length side = z < 0 ? need.Low : need.Safe;
        double sd = Math.Abs(Math.Log(side.Metres / need.Likely.Metres)) / NormalCurve.NinetyFivePercent;
        return need.Likely.Metres * Math.Exp(z * sd) / part.Slices;
    }

    private void Look(SliceYarn slice, HashSet<int> shortCopies, Dictionary<int, HashSet<int>> saved)
    {
        double need = _needs[slice.Part] - Tolerance;
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
