using System.Text;
using GuildStash.Printing.Fonts;

namespace GuildStash.Printing.Drawing;

/// <summary>Measures, breaks and shortens text before it is drawn, so that nothing leaves its box. Widths in millimetres.</summary>
internal static class TextLayout
{
    private const string Ellipsis = "…";
    private const double SizeStep = 0.25;

    /// <summary>Slack for sums of floating-point widths.</summary>
    private const double Tolerance = 1e-6;

    public static double Width(string cleanText, TextStyle style) =>
        cleanText.EnumerateRunes().Sum(rune => Advance(rune, style));

    /// <summary>One line: shrunk down to a smallest size, then cut with an ellipsis.</summary>
    public static (string Text, TextStyle Style) Fit(string text, double width, TextStyle style, double smallestSize)
    {
        string line = PrintableText.Clean(text).Replace('\n', ' ').Trim();
        double fullWidth = Width(line, style);
        if (fullWidth <= width + Tolerance)
        {
            return (line, style);
        }

        double shrunk = Math.Floor(style.Size * width / fullWidth / SizeStep) * SizeStep;
        TextStyle smaller = style with { Size = Math.Max(Math.Min(smallestSize, style.Size), shrunk) };
        return (Cut(line, width, smaller), smaller);
    }

    /// <summary>
    /// Lines of at most this width, broken at spaces and line ends, inside a word only where it alone is too wide.
    /// Where more lines would be needed the last one ends with an ellipsis.
    /// </summary>
    public static IReadOnlyList<string> Wrap(string text, double width, TextStyle style, int maxLines)
    {
        List<string> lines = [];
        foreach (string paragraph in PrintableText.Clean(text).Trim().Split('\n'))
        {
            WrapParagraph(paragraph, width, style, maxLines + 1, lines);
        }

        if (lines.Count <= maxLines)
        {
            return lines;
        }

        lines[maxLines - 1] = Cut(lines[maxLines - 1] + Ellipsis, width, style);
        return lines[..maxLines];
    }

    /// <summary>As <see cref="Wrap"/>, but first tries down to four fifths of the size before anything is cut.</summary>
    public static (IReadOnlyList<string> Lines, TextStyle Style) WrapToFit(string text, double width, TextStyle style, int maxLines)
    {
        for (double size = style.Size; size >= style.Size * 0.8; size -= SizeStep)
        {
            TextStyle smaller = style with { Size = size };
            IReadOnlyList<string> lines = Wrap(text, width, smaller, maxLines + 1);
            if (lines.Count <= maxLines && !BreaksWord(text, width, smaller))
            {
                return (lines, smaller);
            }
        }

        return (Wrap(text, width, style, maxLines), style);
    }

    private static bool BreaksWord(string text, double width, TextStyle style) =>
        PrintableText.Clean(text).Split(' ', '\n').Any(word => Width(word, style) > width + Tolerance);

    private static void WrapParagraph(string paragraph, double width, TextStyle style, int maxLines, List<string> lines)
    {
        StringBuilder line = new();
        double lineWidth = 0;
        double space = Advance(new Rune(' '), style);
        foreach (string word in paragraph.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (lines.Count >= maxLines)
            {
                return;
            }

            double wordWidth = Width(word, style);
            if (line.Length > 0 && lineWidth + space + wordWidth <= width + Tolerance)
            {
                line.Append(' ').Append(word);
                lineWidth += space + wordWidth;
                continue;
            }

            Flush(line, lines);
            lineWidth = BreakWord(word, width, style, line, lines);
        }

        Flush(line, lines);
    }

    /// <summary>Puts a word at the beginning of a line, over several lines where it must; gives the last line's width.</summary>
    private static double BreakWord(string word, double width, TextStyle style, StringBuilder line, List<string> lines)
    {
        double lineWidth = 0;
        foreach (Rune rune in word.EnumerateRunes())
        {
            double advance = Advance(rune, style);
            if (lineWidth + advance > width + Tolerance && line.Length > 0)
            {
                Flush(line, lines);
                lineWidth = 0;
            }

            line.Append(rune);
            lineWidth += advance;
        }

        return lineWidth;
    }

    private static void Flush(StringBuilder line, List<string> lines)
    {
        if (line.Length > 0)
        {
            lines.Add(line.ToString());
            line.Clear();
        }
    }

    private static string Cut(string line, double width, TextStyle style)
    {
        if (Width(line, style) <= width + Tolerance)
        {
            return line;
        }

        double room = width - Width(Ellipsis, style);
        StringBuilder kept = new();
        foreach (Rune rune in line.EnumerateRunes())
        {
            room -= Advance(rune, style);
            if (room < 0)
            {
                break;
            }

            kept.Append(rune);
        }

        return kept.ToString().TrimEnd() + Ellipsis;
    }

    private static double Advance(Rune rune, TextStyle style) =>
        PrintableText.Advance(rune, style.Bold) * style.Size * Canvas.MillimetresPerPoint;
}
