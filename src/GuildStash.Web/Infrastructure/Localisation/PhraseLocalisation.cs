using GuildStash.Domain.Rules;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>Says in the reader's language what the domain can only say as an English template.</summary>
public static class PhraseLocalisation
{
    /// <summary>The phrase in the current culture; phrases and enum values among its arguments are localised, too.</summary>
    public static string Say(this IStringLocalizer texts, Phrase phrase)
    {
        object[] arguments = [.. phrase.Arguments.Select(argument => argument switch
        {
            Phrase inner => texts.Say(inner),
            Enum value => texts.Word(value),
            _ => argument,
        })];
        return texts[phrase.Text, arguments].Value;
    }

    /// <summary>The sentence of a refusal.</summary>
    public static string Say(this IStringLocalizer texts, Refusal refusal) => texts.Say(refusal.Sentence);

    /// <summary>The trade's word for an enum value, in lower case as inside a sentence: "super bulky", "DK", "bouclé".</summary>
    public static string Word(this IStringLocalizer texts, Enum value) => texts[EnumWords.English(value)].Value;
}
