using System.Text.RegularExpressions;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// On a page no line ends between a figure and its unit, or inside a day. Files, JSON, what is copied and what is put into a field have
/// ordinary blanks: a program that looks for "207 yd" finds no other.
/// </summary>
public static partial class NoBreak
{
    private const char Space = '\u00A0';

    public static string Keep(string written) => written.Replace(' ', Space);

    /// <summary>A percent sign never begins a line.</summary>
    public static string BeforePercent(string text) => text.Replace(" %", "\u00A0%", StringComparison.Ordinal);

    /// <summary>A unit in a text's template stays with the figure before it: "at most {0} g", "in 100 g".</summary>
    public static string BeforeUnit(string template) => Unit().Replace(template, "\u00A0");

    public static string Plain(string text) => text.Replace(Space, ' ');

    [GeneratedRegex(@"(?<=[\d}]) (?=(?:g|kg|m|km|yd|cm|mm|°C)(?!\w))")]
    private static partial Regex Unit();
}
