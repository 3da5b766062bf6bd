using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Tests;

/// <summary>
/// Whether an answer can be carried out, from the answer's own names, grams and metres and the problem's words alone: nothing of the
/// planner's arithmetic is used.
/// </summary>
internal static class PlanCheck
{
    private const double MetreSlack = 1e-6;

    public static void Holds(PlanProblem problem, PlanAnswer answer, string about)
    {
        Assert.True(answer.Made.Select(each => each.Piece).SequenceEqual(problem.Pieces.Select(piece => piece.Name)), about);
        foreach (IGrouping<string, Assignment> lot in answer.Assignments.GroupBy(each => each.Lot))
        {
            PlanLot own = problem.Lots.Single(each => each.Code == lot.Key);
            Assert.True(lot.Sum(each => each.Mass.Milligrams) <= own.Mass.Milligrams, $"{about}: {lot.Key} gives more grams than it has.");
            double reckoned = own.Yarn.At(problem.Safety).MetresPer100Grams * (double)own.Mass.Grams / 100;
            Assert.True(lot.Sum(each => each.Length.Metres) <= reckoned + MetreSlack, $"{about}: {lot.Key} gives more metres than it has.");
        }

        int minutes = 0;
        foreach ((PlanPiece piece, PiecesMade made) in problem.Pieces.Zip(answer.Made))
        {
            Assert.True(made.Count <= piece.Wanted, $"{about}: too many {piece.Name}.");
            minutes += piece.Minutes * made.Count;
            Assignment[] own = [.. answer.Assignments.Where(each => each.Piece == piece.Name)];
            Assert.True(own.Select(each => each.Index).Distinct().Order().SequenceEqual(Enumerable.Range(1, made.Count)), $"{about}: {piece.Name} is not numbered from 1 to {made.Count}.");
            for (int i = 1; i <= made.Count; i++)
            {
                CheckPiece(problem, piece, [.. own.Where(each => each.Index == i)], $"{about}: {piece.Name} {i}");
            }

            Assert.True(made.Count == piece.Wanted || answer.Reasons.Any(reason => reason.Piece == piece.Name), $"{about}: no reason for {piece.Name}.");
        }

        Assert.True(answer.Levels.Count == 0 || answer.Levels[0].Value == problem.Pieces.Zip(answer.Made).Sum(each => each.First.Priority * each.Second.Count), $"{about}: {answer.Levels.FirstOrDefault()} is not what is made.");
        Assert.True(problem.MinutesLimit is not { } limit || minutes <= limit, $"{about}: {minutes} minutes.");
        foreach (PlanLevel level in answer.Levels.Where(level => level.Bound is not null))
        {
            bool more = level.Stage is PlanStage.Pieces or PlanStage.Wishes;
            Assert.True(more ? level.Bound >= level.Value : level.Bound <= level.Value, $"{about}: {level} is better than its bound.");
        }
    }

    private static void CheckPiece(PlanProblem problem, PlanPiece piece, Assignment[] yarn, string about)
    {
        foreach (PlanPart part in piece.Parts)
        {
            (PlanLot Lot, Assignment Yarn, int Strands)[] own = [.. yarn.Where(each => each.Part == part.Name).Select(each =>
            {
                PlanLot lot = problem.Lots.Single(one => one.Code == each.Lot);
                return (lot, each, StrandsOf(problem, part, lot, about));
            })];
            Assert.True(own.Length > 0, $"{about}: {part.Name} has no yarn.");
            double worked = own.Sum(each => each.Yarn.Length.Metres / each.Strands / part.Strands);
            Assert.True(worked >= part.Need.Safe.Metres - MetreSlack, $"{about}: {part.Name} has {worked} of {part.Need.Safe}.");
            foreach ((PlanLot lot, Assignment portion, _) in own)
            {
                double weighed = lot.Yarn.At(problem.Safety).MetresPer100Grams * (double)portion.Mass.Grams / 100;
                Assert.True(weighed >= portion.Length.Metres * 0.9999 - 0.01, $"{about}: {portion.Mass} of {lot.Code} is no {portion.Length}.");
                Assert.True(RecipientRuleBook.Check(piece.Rules | part.Rules, lot.Traits, lot.Code, piece.Name).Count == 0, $"{about}: {lot.Code} breaks a rule.");
            }

            Assert.True(own.Select(each => each.Lot.Code).Distinct().Count() == own.Length, $"{about}: a lot is named twice.");
            CheckColours(piece, part, own, yarn, problem, about);
        }
    }

    private static int StrandsOf(PlanProblem problem, PlanPart part, PlanLot lot, string about)
    {
        bool direct = part.WeightClasses.Contains(lot.WeightClass!.Value);
        int strands = direct ? 1 : problem.Substitutes.Rules.Where(rule => rule.From == lot.WeightClass && part.WeightClasses.Contains(rule.To)).Select(rule => rule.Strands).FirstOrDefault();
        Assert.True(strands > 0, $"{about}: {lot.Code} is of the wrong thickness.");
        return strands;
    }

    private static void CheckColours(PlanPiece piece, PlanPart part, (PlanLot Lot, Assignment Yarn, int Strands)[] own, Assignment[] yarn, PlanProblem problem, string about)
    {
        int most = part.Colour.Kind == ColourWishKind.OneLot ? 1 : part.MaxLots;
        Assert.True(own.Length <= most, $"{about}: {part.Name} takes {own.Length} lots, {most} are allowed.");
        ColourFamily?[] families = [.. own.Select(each => each.Lot.ColourFamily).Distinct()];
        bool holds = part.Colour.Kind switch
        {
            ColourWishKind.Any or ColourWishKind.OneLot => true,
            ColourWishKind.Family => families.All(each => each == part.Colour.Family),
            ColourWishKind.OneFamily => families.Length == 1,
            ColourWishKind.Palette => families.Length == part.Colour.Count && families.All(each => each is not null),
            ColourWishKind.Match => families.Length == 1 && families[0] == FamilyOf(piece, part.Colour.OtherPart!, yarn, problem),
            _ => families.Length == 1 && families[0] is not null && families[0] != FamilyOf(piece, part.Colour.OtherPart!, yarn, problem),
        };
        Assert.True(holds, $"{about}: {part.Name} is {string.Join(", ", families)}, wanted is {part.Colour}.");
        IEnumerable<IGrouping<ColourFamily?, (PlanLot Lot, Assignment Yarn, int Strands)>> shares = own.GroupBy(each => part.Colour.Kind == ColourWishKind.Palette ? each.Lot.ColourFamily : null);
        Assert.True(part.DyeLotsMayMix || shares.All(share => share.Count() == 1 || share.Select(each => each.Lot.DyeLot).Distinct().Count() == 1), $"{about}: {part.Name} mixes dye lots.");
    }

    private static ColourFamily? FamilyOf(PlanPiece piece, string part, Assignment[] yarn, PlanProblem problem) =>
        problem.Lots.Single(lot => lot.Code == yarn.First(each => each.Piece == piece.Name && string.Equals(each.Part, part, StringComparison.OrdinalIgnoreCase)).Lot).ColourFamily;
}
