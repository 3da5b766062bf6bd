using Microsoft.Extensions.Localization;
using MudBlazor;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>Sends the component library's own English ("Rows per page:") through <see cref="Texts"/> like every other text.</summary>
public sealed class MudTextInterceptor(ILoggerFactory loggers, IStringLocalizer<Texts> texts)
    : AbstractLocalizationInterceptor(loggers, null)
{
    public override LocalizedString Handle(string key, params object[] arguments)
    {
        string english = Localizer[key].Value;
        return new LocalizedString(key, arguments.Length == 0 ? texts[english] : texts[english, arguments]);
    }
}
