namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>
/// Names the one set of texts for <c>IStringLocalizer&lt;Texts&gt;</c>. The English text is the key, so English needs no file;
/// another language is a JSON object from English to its own words, embedded as <c>Localisation/{culture}.json</c>.
/// </summary>
public sealed class Texts
{
    private Texts()
    {
    }
}
