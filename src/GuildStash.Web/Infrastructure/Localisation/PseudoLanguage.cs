using System.Globalization;
using System.Text;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>
/// A made-up language for tests: every localised text reads "⟦Ŝéţţîñĝš⟧", so that a text without brackets is one that nobody
/// localised. Its code is the one that BCP 47 leaves for private use and that pseudo-locales commonly take.
/// </summary>
public static class PseudoLanguage
{
    public const string CultureName = "qps-Ploc";
    public const char Open = '⟦';
    public const char Close = '⟧';

    private const string Plain = "aceginostuyzACEGINOSTUYZ";
    private const string Accented = "áçéĝîñöšţûýžÁÇÉĜÎÑÖŠŢÛÝŽ";

    public static bool IsCurrent =>
        CultureInfo.CurrentUICulture.Name.Equals(CultureName, StringComparison.OrdinalIgnoreCase);

    /// <summary>Accents and brackets the text; format positions such as {0:0.0} and doubled braces stay as they are.</summary>
    public static string Mark(string english)
    {
        StringBuilder marked = new(english.Length + 2);
        marked.Append(Open);
        int depth = 0;
        foreach (char letter in english)
        {
            depth += letter == '{' ? 1 : letter == '}' ? -1 : 0;
            int at = depth > 0 ? -1 : Plain.IndexOf(letter, StringComparison.Ordinal);
            marked.Append(at < 0 ? letter : Accented[at]);
        }

        return marked.Append(Close).ToString();
    }
}
