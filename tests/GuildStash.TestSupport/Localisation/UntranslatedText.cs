using AngleSharp.Dom;
using AngleSharp.Html.Parser;

namespace GuildStash.TestSupport.Localisation;

/// <summary>
/// Finds what nobody localised on a page rendered in the pseudo-language, where every localised text stands in ⟦ ⟧. Names,
/// codes and notes that people wrote are markup with translate="no" and are passed over, as are parts that name a language of their own,
/// such as the guides.
/// </summary>
public static class UntranslatedText
{
    private const char Open = '⟦';
    private const char Close = '⟧';

    private static readonly string[] s_spokenAttributes = ["aria-label", "title", "placeholder", "alt", "data-label", "aria-description"];
    private static readonly HashSet<string> s_silentElements = ["SCRIPT", "STYLE", "TEMPLATE", "CODE", "TEXTAREA"];

    /// <returns>Each text with letters outside the brackets, as "element: text" or "element@attribute: text".</returns>
    public static IReadOnlyList<string> Find(string html)
    {
        List<string> found = [];
        IDocument page = new HtmlParser().ParseDocument(html);
        Walk(page.DocumentElement, found);
        return found;
    }

    private static void Walk(IElement element, List<string> found)
    {
        if (s_silentElements.Contains(element.NodeName) || element.GetAttribute("translate") == "no" || (element.ParentElement is not null && element.HasAttribute("lang")))
        {
            return;
        }

        foreach (string name in s_spokenAttributes)
        {
            if (element.GetAttribute(name) is { } spoken && HasLettersOutside(spoken))
            {
                found.Add($"{element.LocalName}@{name}: {spoken.Trim()}");
            }
        }

        foreach (INode child in element.ChildNodes)
        {
            if (child is IElement inner)
            {
                Walk(inner, found);
            }
            else if (child.NodeType == NodeType.Text && HasLettersOutside(child.TextContent))
            {
                found.Add($"{element.LocalName}: {child.TextContent.Trim()}");
            }
        }
    }

    private static bool HasLettersOutside(string text)
    {
        int depth = 0;
        foreach (char letter in text)
        {
            depth += letter == Open ? 1 : letter == Close ? -1 : 0;
            if (depth == 0 && char.IsLetter(letter))
            {
                return true;
            }
        }

        return false;
    }
}
