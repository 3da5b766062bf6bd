using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Printing;

/// <summary>Papers speak the language and the unit of whoever prints them.</summary>
public static class PrintLanguage
{
    public static PrintTexts Of(HttpContext context)
    {
        IStringLocalizer<Texts> texts = context.RequestServices.GetRequiredService<IStringLocalizer<Texts>>();
        DisplayChoices choices = DisplayChoices.Of(context.User, context.RequestServices.GetRequiredService<GuildDefaults>().LengthUnit);
        PaperLengthUnit unit = choices.LengthUnit == LengthUnit.Yards ? PaperLengthUnit.Yards : PaperLengthUnit.Metres;
        return new PrintTexts((key, arguments) => texts[key, arguments].Value, choices.Culture, unit);
    }

    /// <summary>A phrase of the domain on paper; phrases among its arguments are localised, too.</summary>
    internal static string Say(this PrintTexts texts, Phrase phrase) =>
        texts.Localise(phrase.Text, [.. phrase.Arguments.Select(argument => argument is Phrase inner ? texts.Say(inner) : argument)]);

    internal static string Word(this PrintTexts texts, Enum value) => texts.Localise(EnumWords.English(value), []);

    internal static string Number(this PrintTexts texts, decimal value) => value.ToString("#,0.##", texts.Culture);
}
