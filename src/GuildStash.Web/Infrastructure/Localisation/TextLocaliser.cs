using System.Globalization;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>
/// Looks a text up for <see cref="CultureInfo.CurrentUICulture"/> and formats its arguments in
/// <see cref="CultureInfo.CurrentCulture"/>. An unknown text is shown in English and marked as not found.
/// </summary>
public sealed class TextLocaliser(TextCatalogue catalogue) : IStringLocalizer
{
    public LocalizedString this[string name]
    {
        get
        {
            string? own = Find(name);
            return new LocalizedString(name, Unbroken(own ?? name), own is null);
        }
    }

    public LocalizedString this[string name, params object[] arguments]
    {
        get
        {
            string? own = Find(name);
            return new LocalizedString(name, string.Format(CultureInfo.CurrentCulture, Unbroken(own ?? name), arguments), own is null);
        }
    }

    public IEnumerable<LocalizedString> GetAllStrings(bool includeParentCultures)
    {
        CultureInfo culture = CultureInfo.CurrentUICulture;
        HashSet<string> seen = [];
        do
        {
            foreach ((string english, string own) in catalogue.Of(culture))
            {
                if (seen.Add(english))
                {
                    yield return new LocalizedString(english, own);
                }
            }

            culture = culture.Parent;
        }
        while (includeParentCultures && culture.Name.Length > 0);
    }

    private static string Unbroken(string template) => NoBreak.BeforeUnit(NoBreak.BeforePercent(template));

    private string? Find(string english) =>
        PseudoLanguage.IsCurrent ? PseudoLanguage.Mark(english) : catalogue.Find(english, CultureInfo.CurrentUICulture);
}
