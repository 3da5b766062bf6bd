using System.Globalization;
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

    /// <summary>What hangs on a wall speaks the language and the unit of the guild, whoever prints it.</summary>
    public static PrintTexts OfGuild(HttpContext context, GuildDefaults guild)
    {
        IStringLocalizer<Texts> texts = context.RequestServices.GetRequiredService<IStringLocalizer<Texts>>();
        CultureInfo culture = guild.Culture is { } name ? CultureInfo.GetCultureInfo(name) : CultureInfo.CurrentCulture;
        PaperLengthUnit unit = (guild.LengthUnit ?? LengthUnit.Metres) == LengthUnit.Yards ? PaperLengthUnit.Yards : PaperLengthUnit.Metres;
        return new PrintTexts((key, arguments) => In(culture, () => texts[key, arguments].Value), culture, unit);
    }

    /// <summary>The localiser goes by the current culture, which is the reader's.</summary>
    private static string In(CultureInfo culture, Func<string> say)
    {
        (CultureInfo numbers, CultureInfo words) = (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture);
        (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (culture, culture);
        try
        {
            return say();
        }
        finally
        {
            (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (numbers, words);
        }
    }

    /// <summary>A phrase of the domain on paper; phrases among its arguments are localised, too.</summary>
    internal static string Say(this PrintTexts texts, Phrase phrase) =>
        texts.Localise(phrase.Text, [.. phrase.Arguments.Select(argument => argument is Phrase inner ? texts.Say(inner) : argument)]);

    internal static string Word(this PrintTexts texts, Enum value) => texts.Localise(EnumWords.English(value), []);

    internal static string Number(this PrintTexts texts, decimal value) => value.ToString("#,0.##", texts.Culture);
}
