using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Projects;

/// <summary>A recipient's rules in words.</summary>
public static class RuleWords
{
    /// <summary>Names of the rules that are set, in the order of the form.</summary>
    public static IReadOnlyList<string> Of(IStringLocalizer<Texts> texts, RecipientRules rules) =>
        [.. RecipientRuleBook.Each.Where(r => rules.HasFlag(r.Rule)).Select(r => texts[r.Name].Value)];

    /// <summary>The same in one line; says so where there are none.</summary>
    public static string List(IStringLocalizer<Texts> texts, RecipientRules rules) =>
        rules == RecipientRules.None ? texts["Takes any yarn"] : string.Join(" · ", Of(texts, rules));
}
