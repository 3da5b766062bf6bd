using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Planning.Drafts;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Answers;

/// <summary>Says for every piece that was not made as often as wanted what stood in the way.</summary>
internal sealed class ReasonFinder(FittedPlan plan, Draft draft, IReadOnlyList<PlanLevel> levels)
{
    private const int CodesTold = 5;

    private readonly int[] _made = draft.Made(plan);

    public IReadOnlyList<PlanReason> Find(bool stopped)
    {
        List<PlanReason> reasons = [];
        if (plan.Lots.Count == 0)
        {
            reasons.Add(new("no-lots", null, null, new Phrase("There are no lots to plan with: sort some yarn, or widen the choice of lots.")));
        }

        for (int i = 0; i < plan.Problem.Pieces.Count; i++)
        {
            if (_made[i] < plan.Problem.Pieces[i].Wanted)
            {
                reasons.AddRange(ForPiece(i));
            }
        }

        bool unproven = levels.Any(level => level.Stage == PlanStage.Pieces && !level.IsProven);
        if (unproven && levels.FirstOrDefault() is { } pieces)
        {
            reasons.Add(new(stopped ? "stopped" : "time-over", null, null, new Phrase(
                stopped ? "The plan was stopped before it was proven that no more can be made: {0} points are planned, {1} are not ruled out."
                    : "The time ended before it was proven that no more can be made: {0} points are planned, {1} are not ruled out. Give it more seconds.",
                pieces.Value, pieces.Bound ?? plan.Problem.Pieces.Sum(piece => (double)piece.Wanted * piece.Priority))));
        }

        return reasons;
    }

    private IEnumerable<PlanReason> ForPiece(int i)
    {
        PlanPiece piece = plan.Problem.Pieces[i];
        PlanReason[] found = [.. plan.PartsOf[i].SelectMany(part => ForPart(piece, part))];
        if (found.Length > 0)
        {
            return found;
        }

        if (plan.Problem.MinutesLimit is { } limit && piece.Minutes > 0)
        {
            int spent = draft.Copies.Sum(copy => plan.Problem.Pieces[copy.Piece].Minutes);
            if (limit - spent < piece.Minutes)
            {
                return [new("minutes-limit", piece.Name, null, new Phrase(
                    "{0} of {1} \"{2}\" can be made in {3} minutes: the plan takes {4}, one more would take {5}.", _made[i], piece.Wanted, piece.Name, limit, spent, piece.Minutes))];
            }
        }

        return [UsedUp(piece, i)];
    }

    private IEnumerable<PlanReason> ForPart(PlanPiece piece, PartFit part)
    {
        if (Contradiction(piece, part.Part) is { } contradiction)
        {
            yield return new("contradiction", piece.Name, part.Part.Name, contradiction);
            yield break;
        }

        if (plan.Lots.Count == 0)
        {
            yield return new("no-lots", piece.Name, part.Part.Name, new Phrase("No lot fits \"{0}\" of \"{1}\": there is none.", part.Part.Name, piece.Name));
            yield break;
        }

        LotStock[] fitting = [.. plan.Lots.Where(lot => !LotRules.Broken(piece, part.Part, lot.Lot, plan.Problem.Substitutes).Any())];
        if (fitting.Length == 0)
        {
            yield return new("no-lot-fits", piece.Name, part.Part.Name, Removed(piece, part.Part));
        }
        else if (TooShort(piece, part, fitting) is { } tooShort)
        {
            yield return new("too-short", piece.Name, part.Part.Name, tooShort);
        }
        else if (Families(piece, part) is { } families)
        {
            yield return new("colours", piece.Name, part.Part.Name, families);
        }
    }

    /// <summary>Rules that no yarn at all can meet together.</summary>
    private static Phrase? Contradiction(PlanPiece piece, PlanPart part)
    {
        if (part.OnlyFibres.Count == 0)
        {
            return null;
        }

        RecipientRules rules = piece.Rules | part.Rules;
        Fibre[] only = [.. part.OnlyFibres.Select(code => FibreTable.TryFind(code, out Fibre? fibre) ? fibre : null).OfType<Fibre>()];
        (RecipientRules Rule, Func<Fibre, bool> Barred)[] bars =
        [
            (RecipientRules.NoWool, fibre => fibre.IsWool),
            (RecipientRules.NoAnimalFibre, fibre => fibre.Kind == FibreKind.Animal),
            (RecipientRules.NoMetallic, fibre => fibre.Kind == FibreKind.Metallic),
        ];
        foreach ((RecipientRules rule, Func<Fibre, bool> barred) in bars)
        {
            if (rules.HasFlag(rule) && only.All(barred))
            {
                return new Phrase("The rules for \"{0}\" of \"{1}\" contradict each other: only {2} is asked for, and the rule \"{3}\" bars all of it. Take one of them back.",
                    part.Name, piece.Name, string.Join(", ", only.Select(fibre => fibre.Code)), new Phrase(RecipientRuleBook.Each.First(each => each.Rule == rule).Name));
            }
        }

        return null;
    }

    /// <summary>Which rule removed which lots.</summary>
    private Phrase Removed(PlanPiece piece, PlanPart part)
    {
        (PlanLot Lot, (string Key, Phrase Name)[] Broken)[] all = [.. plan.Problem.Lots.Select(lot => (lot, LotRules.Broken(piece, part, lot, plan.Problem.Substitutes).ToArray()))];
        Phrase list = all.SelectMany(each => each.Broken.Select(broken => (each.Lot, broken.Key, broken.Name)))
            .GroupBy(each => each.Key)
            .OrderByDescending(rule => rule.Count())
            .Select(rule => new Phrase("\"{0}\" removes {1} ({2})", rule.First().Name, rule.Count(), Codes(rule.Select(each => each.Lot))))
            .Aggregate((soFar, next) => new Phrase("{0}; {1}", soFar, next));
        IGrouping<string, (PlanLot Lot, (string Key, Phrase Name)[] Broken)>? alone = all.Where(each => each.Broken.Length == 1).GroupBy(each => each.Broken[0].Key).MaxBy(rule => rule.Count());
        return alone is null
            ? new Phrase("None of {0} lots fits \"{1}\" of \"{2}\": {3}.", plan.Lots.Count, part.Name, piece.Name, list)
            : new Phrase("None of {0} lots fits \"{1}\" of \"{2}\": {3}. Without \"{4}\" alone these would fit: {5}.",
                plan.Lots.Count, part.Name, piece.Name, list, alone.First().Broken[0].Name, Codes(alone.Select(each => each.Lot)));
    }

    private Phrase? TooShort(PlanPiece piece, PartFit part, LotStock[] fitting)
    {
        (string Code, long Worked)[] reaches = [.. fitting.Select(lot => (lot.Lot.Code, Worked: WorkedOf(part, lot))).OrderByDescending(each => each.Worked)];
        Length need = Length.FromMetres(part.Need / 10.0);
        if (part.MostLots == 1 && reaches[0].Worked < part.Need)
        {
            return new Phrase("\"{0}\" of \"{1}\" takes {2} from one lot; the longest of {3} lots that fit, {4}, gives {5}. Allow a join, or ask for a longer lot.",
                part.Part.Name, piece.Name, need, reaches.Length, reaches[0].Code, Length.FromMetres(reaches[0].Worked / 10.0));
        }

        long most = part.Groups.SelectMany(group => group.JoinSets.Select(set => set.Select(i => group.Candidates[i].Reach).OrderDescending().Take(part.MostLots).Sum())
            .Append(group.Candidates.Max(each => each.Reach))).DefaultIfEmpty().Max();
        return most >= part.Need
            ? null
            : new Phrase("\"{0}\" of \"{1}\" takes {2}; the longest lots that fit and go together, at most {3} of them, give {4}.",
                part.Part.Name, piece.Name, need, part.MostLots, Length.FromMetres(most / 10.0));
    }

    private long WorkedOf(PartFit part, LotStock lot) => lot.Decimetres / (LotRules.StrandsFor(part.Part, lot.Lot, plan.Problem.Substitutes) * part.Part.Strands);

    private static Phrase? Families(PlanPiece piece, PartFit part)
    {
        if (part.Groups.Count < part.Slices)
        {
            return new Phrase("\"{0}\" of \"{1}\" wants {2} colour families, and the lots that fit are of {3}.", part.Part.Name, piece.Name, part.Slices, part.Groups.Count);
        }

        if (part.Main is not { } main || part.Groups.Any(own => main.Groups.Any(beside => part.GoesWith(own, beside))))
        {
            return null;
        }

        return new Phrase(part.IsMatch
                ? "\"{0}\" of \"{1}\" must be of the family of \"{2}\", and no family has lots for both ({3}; {4})."
                : "\"{0}\" of \"{1}\" must stand out from \"{2}\", and no two families of the lots that fit do ({3}; {4}).",
            part.Part.Name, piece.Name, main.Part.Name, FamiliesOf(part), FamiliesOf(main));
    }

    private PlanReason UsedUp(PlanPiece piece, int i)
    {
        long[] taken = draft.Taken(plan);
        PartFit tightest = plan.PartsOf[i].MinBy(part => Left(part, taken) / (double)(part.Need * part.Slices))!;
        return new("used-up", piece.Name, tightest.Part.Name, new Phrase(
            "{0} of {1} \"{2}\" can be made: then {3} are left of the lots that fit \"{4}\", in pieces that don't come together to the {5} that one more takes, or that other pieces need.",
            _made[i], piece.Wanted, piece.Name, Length.FromMetres(Left(tightest, taken) / 10.0), tightest.Part.Name, Length.FromMetres(tightest.Need * tightest.Slices / 10.0)));
    }

    private long Left(PartFit part, long[] taken) => part.Groups.Sum(group => group.Candidates.Sum(each => (plan.Lots[each.Lot].Decimetres - taken[each.Lot]) / each.Strands));

    private static string FamiliesOf(PartFit part) => string.Join(", ", part.Groups.Select(group => group.Family).OfType<ColourFamily>().Select(family => family.Key()).Order().DefaultIfEmpty("–"));

    private static string Codes(IEnumerable<PlanLot> lots)
    {
        string[] codes = [.. lots.Select(lot => lot.Code)];
        return codes.Length <= CodesTold ? string.Join(", ", codes) : string.Join(", ", codes.Take(CodesTold)) + ", …";
    }
}
