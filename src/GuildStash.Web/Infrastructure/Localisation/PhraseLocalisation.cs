using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>Says in the reader's language what the domain can only say as an English template.</summary>
public static class PhraseLocalisation
{
    /// <summary>The phrase in the current culture; phrases and enum values among its arguments are localised, too.</summary>
    public static string Say(this IStringLocalizer texts, Phrase phrase) => Say(texts, phrase, forPrograms: false);

    /// <summary>The same inside JSON, where a negative mass keeps its hyphen-minus and a blank breaks.</summary>
    public static string SayPlainly(this IStringLocalizer texts, Phrase phrase) => NoBreak.Plain(Say(texts, phrase, forPrograms: true));

    private static string Say(IStringLocalizer texts, Phrase phrase, bool forPrograms)
    {
        object[] arguments = [.. phrase.Arguments.Select(argument => argument switch
        {
            Phrase inner => Say(texts, inner, forPrograms),
            Enum value => texts.Word(value),
            Mass { Milligrams: < 0 } mass when !forPrograms => mass.ToString().Replace("-", TrueMinus.Sign, StringComparison.Ordinal),
            _ => argument,
        })];
        return texts[phrase.Text, arguments].Value;
    }

    /// <summary>The sentence of a refusal.</summary>
    public static string Say(this IStringLocalizer texts, Refusal refusal) => texts.Say(refusal.Sentence);

    /// <summary>The trade's word for an enum value, in lower case as inside a sentence: "super bulky", "DK", "bouclé".</summary>
    public static string Word(this IStringLocalizer texts, Enum value) => texts[EnumWords.English(value)].Value;
}
