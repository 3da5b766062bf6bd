using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;
using GuildStash.Web.Infrastructure.Work;
using Condition = System.Linq.Expressions.Expression<System.Func<GuildStash.Data.Stock.Lot, bool>>;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Lots that a project may take: those that a plan would let at least one part of one of its pieces use, asked of the database. What
/// thickness a part takes is the planner's <see cref="PartYarn"/>; a test holds the rest against it lot by lot. How much of a lot is left,
/// and which colours go together in a piece, are a plan's to find.
/// </summary>
internal static class LotsForProject
{
    private static readonly string[] s_wool = [.. FibreTable.All.Where(fibre => fibre.IsWool).Select(fibre => fibre.Code)];
    private static readonly string[] s_animal = [.. FibreTable.All.Where(fibre => fibre.Kind == FibreKind.Animal).Select(fibre => fibre.Code)];
    private static readonly string[] s_metallic = [.. FibreTable.All.Where(fibre => fibre.Kind == FibreKind.Metallic).Select(fibre => fibre.Code)];

    /// <summary>None at all where there is no such project; whatever its recipient accepts where nobody has said what yarn its pieces take.</summary>
    public static async Task<IQueryable<Lot>> ApplyAsync(Act act, IQueryable<Lot> lots, Guid projectId)
    {
        ProjectYarn? project = await ProjectYarn.ReadAsync(act.Db, projectId, act.Cancellation);
        return project is null ? lots.Where(l => false)
            : project.Pieces.Count == 0 ? lots.Where(LotPredicate.All(Accepted(project.Rules)))
            : lots.Where(l => l.MetresPer100gLow != null && l.MetresPer100gLikely != null && l.MetresPer100gHigh != null).Where(Suits(project.Pieces, act.Yardage.Strands));
    }

    /// <summary>Parts that differ in thickness alone share their other conditions, so that the question grows with what differs and not with the pieces.</summary>
    private static Condition Suits(IReadOnlyList<PlanPiece> pieces, StrandSubstitutes substitutes) => LotPredicate.Any(pieces
        .SelectMany(piece => piece.Parts.Select(part => (Rules: piece.Rules | part.Rules, Part: part)))
        .GroupBy(each => (each.Rules, NamedFamily(each.Part), PartYarn.NeedsFamily(each.Part), string.Join(' ', each.Part.OnlyFibres.Select(Code).Order(StringComparer.Ordinal))))
        .Select(alike => LotPredicate.All(
        [
            .. Accepted(alike.Key.Rules),
            .. Coloured(alike.First().Part),
            .. OfFibres(alike.First().Part.OnlyFibres),
            Thick([.. alike.SelectMany(each => PartYarn.Choices(each.Part, substitutes))]),
        ])));

    /// <summary>The same as <see cref="RecipientRuleBook"/> says of one lot, asked of the database.</summary>
    private static IEnumerable<Condition> Accepted(RecipientRules rules)
    {
        (RecipientRules Rule, Condition Holds)[] each =
        [
            (RecipientRules.WashableOnly, l => l.MachineWashable == Tristate.Yes),
            (RecipientRules.NoWool, l => !l.FibreCodes.Any(code => s_wool.Contains(code))),
            (RecipientRules.NoAnimalFibre, l => !l.FibreCodes.Any(code => s_animal.Contains(code))),
            (RecipientRules.NoUnknownFibre, l => l.FibreCodes.Count > 0),
            (RecipientRules.NoMetallic, l => l.Texture != Texture.Metallic && !l.FibreCodes.Any(code => s_metallic.Contains(code))),
            (RecipientRules.SoftOnly, l => l.Softness != Softness.Scratchy),
        ];
        bool Has(RecipientRules rule) => rules.HasFlag(rule);
        Conditions barred = (Has(RecipientRules.SmokeFree) ? Conditions.Smoke : 0) | (Has(RecipientRules.PetFree) ? Conditions.PetHair : 0)
            | (Has(RecipientRules.InfantOrHospital) ? Conditions.Mothball : 0) | (Has(RecipientRules.ScentFree) ? Conditions.Perfume | Conditions.Mothball | Conditions.Smoke : 0);
        IEnumerable<Condition> asked = each.Where(rule => Has(rule.Rule)).Select(rule => rule.Holds);
        return barred == Conditions.None ? asked : asked.Append(l => (l.Conditions & barred) == Conditions.None);
    }

    private static ColourFamily? NamedFamily(PlanPart part) => part.Colour.Kind == ColourWishKind.Family ? part.Colour.Family : null;

    private static IEnumerable<Condition> Coloured(PlanPart part)
    {
        if (NamedFamily(part) is { } family)
        {
            yield return l => l.ColourFamily == family;
        }
        else if (PartYarn.NeedsFamily(part))
        {
            yield return l => l.ColourFamily != null;
        }
    }

    private static IEnumerable<Condition> OfFibres(IReadOnlyList<string> only)
    {
        if (only.Count > 0)
        {
            string[] codes = [.. only.Select(Code)];
            yield return l => l.FibreCodes.Count > 0 && l.FibreCodes.All(code => codes.Contains(code));
        }
    }

    /// <summary>As lots have it.</summary>
    private static string Code(string fibre) => FibreTable.TryFind(fibre, out Fibre? known) ? known.Code : fibre;

    private static Condition Thick(IReadOnlyList<ThicknessChoice> choices)
    {
        if (choices.Any(choice => choice is { Classes: null, Window: null }))
        {
            return l => true;
        }

        WeightClass?[] whole = [.. choices.Where(choice => choice.Window is null).SelectMany(choice => choice.Classes!).Distinct().Select(each => (WeightClass?)each)];
        IEnumerable<Condition> within = choices.Where(choice => choice.Window is not null)
            .DistinctBy(choice => (choice.Window, choice.Strands, choice.Classes is null ? null : string.Join(' ', choice.Classes.Order()))).Select(Within);
        return LotPredicate.Any(whole.Length == 0 ? within : within.Append(l => whole.Contains(l.WeightClass)));
    }

    private static Condition Within(ThicknessChoice choice)
    {
        (double low, double high, double strands) = (choice.Window!.Low, choice.Window.High, choice.Strands);
        if (choice.Classes is null)
        {
            return l => l.MetresPer100gLikely / strands >= low && l.MetresPer100gLikely / strands <= high;
        }

        WeightClass?[] classes = [.. choice.Classes.Select(each => (WeightClass?)each)];
        return l => classes.Contains(l.WeightClass) && l.MetresPer100gLikely / strands >= low && l.MetresPer100gLikely / strands <= high;
    }
}
