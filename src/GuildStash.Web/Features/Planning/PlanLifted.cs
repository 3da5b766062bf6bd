using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Planning;

/// <summary>A rule that a plan does not ask of a piece, only to see what it costs.</summary>
/// <param name="Piece">The piece's name in the plan; empty where the answer does not name it.</param>
/// <param name="Name">Of the rule, as the form names it.</param>
public sealed record LiftedRule(string Piece, RecipientRules Rule, string Name);

/// <summary>
/// What "what if" lifted. Such a plan never becomes kits, whether or not a lot of it breaks the rule by now: yarn is held only by the
/// recipient's whole list, and a mothball smell bars it from infants and hospitals for good.
/// </summary>
internal static class PlanLifted
{
    /// <param name="result">The plan's answer; its pieces stand for the ask's by their places.</param>
    public static IReadOnlyList<LiftedRule> Of(PlanAsk ask, PlanResult? result) =>
        [.. ask.Pieces.SelectMany((piece, i) => RecipientRuleBook.Each
            .Where(each => piece.WithoutRules.HasFlag(each.Rule))
            .Select(each => new LiftedRule(result?.Made.FirstOrDefault(made => made.Asked == i)?.Name ?? piece.Name ?? "", each.Rule, each.Name)))];

    /// <summary>Why such a plan can't be accepted; null where nothing is lifted.</summary>
    public static Refusal? Refuse(PlanAsk ask, PlanResult? result, string number) => Of(ask, result) is [{ } first, ..]
        ? Refusal.Conflict("plan-lifts-a-rule", "Plan {0} lifts the rule \"{1}\" of {2}, so it can't become kits: it only shows what the rule costs. Accept a plan that keeps the recipient's rules.", number, new Phrase(first.Name), first.Piece)
        : null;
}
