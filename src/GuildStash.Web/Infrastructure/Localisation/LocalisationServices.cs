using Microsoft.AspNetCore.Localization;
using Microsoft.Extensions.Localization;
using MudBlazor.Services;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>What the host needs so that every visible text, number and date follows the person.</summary>
public static class LocalisationServices
{
    /// <summary>
    /// Cultures that may be asked for. Texts are English until a translation file exists, numbers and dates follow at once.
    /// </summary>
    public static readonly IReadOnlyList<string> Cultures =
    [
        "en-GB", "en-US", "en-AU", "en-CA", "en-IE", "en-NZ", "da-DK", "de-AT", "de-CH", "de-DE", "el-GR", "es-ES", "fi-FI",
        "fr-CA", "fr-CH", "fr-FR", "is-IS", "it-IT", "ja-JP", "nb-NO", "nl-NL", "pl-PL", "pt-BR", "pt-PT", "sv-SE", "uk-UA",
    ];

    /// <summary>Texts, the component library's texts and the cultures, English (United Kingdom) where nothing else fits.</summary>
    /// <param name="services">The host's services.</param>
    /// <param name="withPseudoLanguage">Whether <see cref="PseudoLanguage"/> may be asked for; for development and tests.</param>
    public static IServiceCollection AddTexts(this IServiceCollection services, bool withPseudoLanguage)
    {
        services.AddSingleton<IStringLocalizerFactory, TextLocaliserFactory>();
        services.AddTransient(typeof(IStringLocalizer<>), typeof(StringLocalizer<>));
        services.AddLocalizationInterceptor<MudTextInterceptor>();
        return services.Configure<RequestLocalizationOptions>(options =>
        {
            string[] cultures = withPseudoLanguage ? [.. Cultures, PseudoLanguage.CultureName] : [.. Cultures];
            options.SetDefaultCulture(Cultures[0]).AddSupportedCultures(cultures).AddSupportedUICultures(cultures);

            // Where the pseudo-language may be spoken, ?culture= comes before what people and guild chose; elsewhere after it.
            options.RequestCultureProviders.Insert(withPseudoLanguage ? 1 : 0, new PersonCultureProvider());
        });
    }
}
