using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;
using GuildStash.Planning.Problem;
using GuildStash.Planning.Risk;

namespace GuildStash.Planning.Answers;

/// <summary>Puts a draft into names, grams and metres.</summary>
internal static class AnswerWriter
{
    /// <param name="settled">The stages that are settled; while a search goes on not all of them.</param>
    public static PlanAnswer Write(FittedPlan plan, Draft draft, IReadOnlyList<SettledStage> settled, PlanTime time)
    {
        PlanLevel[] levels = [.. settled.Select(LevelOf)];
        IReadOnlyList<Portion> portions = Portions.Of(plan, draft);
        ShortChances chances = ShortSimulation.Run(plan, draft, portions, time.Options.Seed ?? PlanOptions.DrawsSeed);
        int[] made = draft.Made(plan);
        bool proven = levels.Length == plan.Stages.Count && levels.All(level => level.IsProven);
        return new()
        {
            Status = draft.Copies.Count == 0 ? PlanStatus.None : proven ? PlanStatus.Optimal : PlanStatus.Feasible,
            Levels = levels,
            Made = [.. plan.Problem.Pieces.Select((piece, i) => new PiecesMade(piece.Name, made[i], piece.Wanted, chances.OfPiece[i]))],
            Assignments = [.. portions.Select(portion => new Assignment(
                plan.Problem.Pieces[portion.Piece].Name, portion.Number, plan.Parts[portion.Part].Part.Name, plan.Lots[portion.Draw.Lot].Lot.Code, portion.Mass, Length.FromMetres(portion.Draw.Taken / 10.0)))],
            Leftovers = [.. LeftoversOf(plan, portions)],
            Shortages = [.. plan.Parts.Where(part => made[part.Piece] < plan.Problem.Pieces[part.Piece].Wanted).Select(part => ShortageOf(plan, part, made[part.Piece]))],
            Reasons = new ReasonFinder(plan, draft, levels).Find(time.Cancellation.IsCancellationRequested),
            ChanceOfShort = chances.OfAny,
            PiecesShort = chances.Expected,
            Measure = chances.Advice,
            IsStopped = time.Cancellation.IsCancellationRequested,
        };
    }

    private static PlanLevel LevelOf(SettledStage settled)
    {
        double value = settled.Stage.Shown(settled.Value);
        if (settled.Bound is not { } bound)
        {
            return new(settled.Stage, value, null, null);
        }

        double larger = Math.Max(Math.Abs(settled.Value), Math.Abs(bound));
        return new(settled.Stage, value, settled.Stage.Shown(bound), larger == 0 ? 0 : Math.Abs(bound - settled.Value) / larger);
    }

    private static IEnumerable<Leftover> LeftoversOf(FittedPlan plan, IReadOnlyList<Portion> portions)
    {
        foreach (IGrouping<int, Portion> lot in portions.GroupBy(portion => portion.Draw.Lot).OrderBy(lot => lot.Key))
        {
            LotStock stock = plan.Lots[lot.Key];
            Mass left = Mass.FromMilligrams(stock.Lot.Mass.Milligrams - lot.Sum(portion => portion.Mass.Milligrams));
            if (left > Mass.Zero)
            {
                yield return new(stock.Lot.Code, left, stock.Density.LengthOf(left), left.Grams >= LotStock.UsableGrams);
            }
        }
    }

    private static Shortage ShortageOf(FittedPlan plan, PartFit part, int made)
    {
        PlanPiece piece = plan.Problem.Pieces[part.Piece];
        int missing = piece.Wanted - made;
        Length length = Length.FromMetres(part.Need * part.Slices * part.Part.Strands * missing / 10.0);
        WeightClass[] classes = [.. part.Part.WeightClasses];
        Mass? mass = classes.Length == 0
            ? null
            : Mass.FromGrams(Math.Ceiling(WeightClassTable.Default.Row(classes.Max()).Low.MassOf(length).Milligrams / 1000.0));
        return new(piece.Name, part.Part.Name, missing, length, mass, classes, part.Part.Colour.Family);
    }
}
