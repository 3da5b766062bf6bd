using GuildStash.Domain.Colours;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Fitting;

/// <summary>A problem in whole decimetres, with the lots that fit each part: what greedy hands, model and score all work on.</summary>
internal sealed class FittedPlan
{
    /// <summary>Points for a lot whose colour nobody knows, where one is wished: about a family's width. Judgement.</summary>
    private const int UnknownColour = 25;
    private const int MostPoints = 100;

    public FittedPlan(PlanProblem problem)
    {
        Problem = problem;
        Lots = [.. problem.Lots.Select((lot, i) => new LotStock(i, lot, problem.Safety))];
        List<PartFit> parts = [];
        Dictionary<(int, string), PartFit> byName = [];
        for (int p = 0; p < problem.Pieces.Count; p++)
        {
            foreach (PlanPart part in problem.Pieces[p].Parts)
            {
                PartFit? main = part.Colour.OtherPart is { } other && part.Colour.Kind is ColourWishKind.Contrast or ColourWishKind.Match
                    ? byName[(p, part.Colour.OtherPart.ToUpperInvariant())]
                    : null;
                PartFit fit = Fit(problem, p, part, parts.Count, main);
                parts.Add(fit);
                byName[(p, part.Name.ToUpperInvariant())] = fit;
            }
        }

        Parts = parts;
        PartsOf = [.. Enumerable.Range(0, problem.Pieces.Count).Select(p => parts.Where(part => part.Piece == p).ToArray())];
    }

    public PlanProblem Problem { get; }

    public IReadOnlyList<LotStock> Lots { get; }

    public IReadOnlyList<PartFit> Parts { get; }

    /// <summary>Parts by the index of their piece.</summary>
    public IReadOnlyList<PartFit[]> PartsOf { get; }

    /// <summary>The stages of this problem, the most important first.</summary>
    public IReadOnlyList<PlanStage> Stages => [.. Planning.Stages.All.Where(stage => stage != PlanStage.Wishes || Problem.Lots.Any(lot => lot.Wish > 0))];

    private PartFit Fit(PlanProblem problem, int piece, PlanPart part, int index, PartFit? main)
    {
        ColourWish wish = part.Colour;
        int slices = wish.Kind == ColourWishKind.Palette ? wish.Count : 1;
        long whole = LotStock.NeedOf(part.Need.Safe);
        long need = (whole + slices - 1) / slices;
        int mostLots = wish.Kind == ColourWishKind.OneLot ? 1 : Math.Max(1, part.MaxLots / slices);
        List<Candidate> fitting = [];
        foreach (LotStock lot in Lots.Where(lot => !LotRules.Broken(problem.Pieces[piece], part, lot.Lot, problem.Substitutes).Any()))
        {
            int strands = LotRules.StrandsFor(part, lot.Lot, problem.Substitutes) * part.Strands;
            long reach = lot.Decimetres / strands;
            if (reach >= (mostLots == 1 ? need : 1))
            {
                fitting.Add(new(lot.Index, strands, reach, PointsOf(wish, lot.Lot)));
            }
        }

        bool oneFamily = wish.Kind is not ColourWishKind.Any && !(wish.Kind == ColourWishKind.OneLot && !IsReferred(problem.Pieces[piece], part));
        return new()
        {
            Index = index,
            Piece = piece,
            Part = part,
            Need = need,
            Slices = slices,
            MostLots = mostLots,
            Main = main,
            Groups = [.. Group(fitting, oneFamily, part, mostLots)],
        };
    }

    private static bool IsReferred(PlanPiece piece, PlanPart part) => piece.Parts.Any(other => string.Equals(other.Colour.OtherPart, part.Name, StringComparison.OrdinalIgnoreCase));

    private IEnumerable<ShadeGroup> Group(List<Candidate> fitting, bool oneFamily, PlanPart part, int mostLots)
    {
        bool needsFamily = PartYarn.NeedsFamily(part);
        IEnumerable<IGrouping<string, Candidate>> groups = fitting
            .Where(each => !needsFamily || FamilyOf(each) is not null)
            .GroupBy(each => !oneFamily ? "" : FamilyOf(each)?.Key() ?? "?" + Lots[each.Lot].Lot.Code);
        foreach (IGrouping<string, Candidate> group in groups)
        {
            Candidate[] candidates = [.. group];
            yield return new(oneFamily ? FamilyOf(candidates[0]) : null, candidates, JoinSets(candidates, part, mostLots));
        }
    }

    private ColourFamily? FamilyOf(Candidate candidate) => Lots[candidate.Lot].Lot.ColourFamily;

    private int[][] JoinSets(Candidate[] candidates, PlanPart part, int mostLots)
    {
        int[] all = [.. Enumerable.Range(0, candidates.Length)];
        if (mostLots == 1)
        {
            return [];
        }

        IEnumerable<int[]> sets = part.DyeLotsMayMix
            ? [all]
            : all.Where(i => DyeLotOf(candidates[i]) is not null).GroupBy(i => DyeLotOf(candidates[i])!, StringComparer.OrdinalIgnoreCase).Select(group => group.ToArray());
        return [.. sets.Where(set => set.Length > 1)];
    }

    private string? DyeLotOf(Candidate candidate) => Lots[candidate.Lot].Lot.DyeLot is { } dyeLot && dyeLot.Trim().Length > 0 ? dyeLot.Trim() : null;

    private static int PointsOf(ColourWish wish, PlanLot lot) => wish.Target is not { } target
        ? 0
        : lot.Colour is { } own
            ? (int)Math.Min(MostPoints, Math.Round(ColourDifference.Ciede2000(target.Lab, own.Lab)))
            : UnknownColour;
}
