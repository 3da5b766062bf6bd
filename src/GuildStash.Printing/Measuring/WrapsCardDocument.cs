using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>
/// Two pages at true scale: a card to cut out with notches of one and two inches, with the proof that the printer did not scale; and
/// strands of each class to compare a yarn with.
/// </summary>
public static class WrapsCardDocument
{
    /// <summary>One inch, mm, exact.</summary>
    public const double Inch = 25.4;

    private const double ContentWidth = 182;
    private const double Top = 14;
    private const double CardHeight = 58;
    private const double NotchDepth = 10;
    private const double FirstNotch = 24;
    private const double SecondNotch = 89.4;

    private static readonly TextStyle Title = new(18, Bold: true);
    private static readonly TextStyle Heading = new(12, Bold: true);
    private static readonly TextStyle Plain = new(9.5);

    /// <param name="rows">The classes that wraps can tell apart, thinnest first.</param>
    /// <param name="tableVersion">Name of the table.</param>
    /// <param name="size">The sheet.</param>
    /// <param name="texts">The reader's language.</param>
    public static byte[] Render(IReadOnlyList<PrintedClassRow> rows, string tableVersion, PaperSize size, PrintTexts texts) =>
        Paper.Render(texts[PrintWords.WrapsCard], texts, paper =>
        {
            double left = (size.Width - ContentWidth) / 2;
            Canvas first = paper.NewPage(size.Width, size.Height);
            DrawProof(first, left, texts);
            DrawHow(first, left + TrueScale.CardWidth + 6, texts);
            DrawCard(first, left, rows, texts);
            StrandPage.Draw(paper.NewPage(size.Width, size.Height), left, ContentWidth, rows, tableVersion, texts);
        });

    private static void DrawProof(Canvas canvas, double left, PrintTexts texts)
    {
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(texts[PrintWords.WrapsCard], left, Top + Title.CapHeight, ContentWidth, Title));
        Paragraph(canvas, texts[PrintWords.PrintFullSize], left, Top + 9, ContentWidth, 1);
        Paragraph(canvas, texts[PrintWords.TestRule], left, Top + 17, ContentWidth, 1);
        TrueScale.Rule(canvas, left, Top + 22);
        Paragraph(canvas, texts[PrintWords.NotToScale], left + TrueScale.RuleLength + 8, Top + 17, ContentWidth - TrueScale.RuleLength - 8, 4);
        TrueScale.Card(canvas, left, Top + 40);
        Paragraph(canvas, texts[PrintWords.TestCard], left + 6, Top + 46, TrueScale.CardWidth - 12, 4);
    }

    private static void DrawHow(Canvas canvas, double x, PrintTexts texts)
    {
        double width = canvas.Width - ((canvas.Width - ContentWidth) / 2) - x;
        double y = Top + 40;
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Line(texts[PrintWords.HowToCount], x, y + Heading.CapHeight, width, Heading));
        y += 7;
        foreach (string step in new[] { PrintWords.CountRoll, PrintWords.CountMiddle, PrintWords.CountThrice, PrintWords.CountNotValid })
        {
            y = Paragraph(canvas, texts[step], x, y, width, 4) + 1.6;
        }
    }

    private static void DrawCard(Canvas canvas, double left, IReadOnlyList<PrintedClassRow> rows, PrintTexts texts)
    {
        const double Y = Top + 112;
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Line(texts[PrintWords.CutOut], left, Y - 10, ContentWidth, Heading));
        Paragraph(canvas, texts[PrintWords.CutAlong], left, Y - 7, ContentWidth, 1);
        canvas.Polygon(Outline(left, Y), TrueScale.Hairline, Ink.Text);
        NotchText(canvas, left + FirstNotch, Y, Inch, texts[PrintWords.OneInch, texts.Number(Inch)], texts[PrintWords.OneInchCount]);
        NotchText(canvas, left + SecondNotch, Y, 2 * Inch, texts[PrintWords.TwoInches, texts.Number(2 * Inch)], texts[PrintWords.TwoInchesCount]);
        string classes = string.Join(" · ", rows.Select(row => texts[PrintWords.ClassWraps, row.Name, row.Wraps(texts)]));
        TextStyle small = new(8.5);
        IReadOnlyList<string> lines = TextLayout.Wrap(texts[PrintWords.WrapsPerInch] + " " + classes, ContentWidth - 12, small, 3);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(lines, left + 6, Y + 31, small));
    }

    /// <summary>Clockwise from the top left corner; the notches of the lower edge lie below those of the upper one, so that yarn can be wound through both.</summary>
    private static IEnumerable<(double X, double Y)> Outline(double left, double top)
    {
        double bottom = top + CardHeight;
        double[] notches = [left + FirstNotch, left + FirstNotch + Inch, left + SecondNotch, left + SecondNotch + (2 * Inch)];
        yield return (left, top);
        for (int edge = 0; edge < notches.Length; edge++)
        {
            bool goesIn = edge % 2 == 0;
            yield return (notches[edge], goesIn ? top : top + NotchDepth);
            yield return (notches[edge], goesIn ? top + NotchDepth : top);
        }

        yield return (left + ContentWidth, top);
        yield return (left + ContentWidth, bottom);
        for (int edge = notches.Length - 1; edge >= 0; edge--)
        {
            bool goesIn = edge % 2 == 1;
            yield return (notches[edge], goesIn ? bottom : bottom - NotchDepth);
            yield return (notches[edge], goesIn ? bottom - NotchDepth : bottom);
        }

        yield return (left, bottom);
    }

    private static void NotchText(Canvas canvas, double x, double top, double width, string length, string count)
    {
        const double Beside = 9;
        Box box = new(x - Beside, top + NotchDepth + 3, width + (2 * Beside), 5);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(length, box, new TextStyle(11, Bold: true), Align.Centre));
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(count, box with { Y = box.Y + 6 }, new TextStyle(8.5), Align.Centre));
    }

    private static double Paragraph(Canvas canvas, string text, double x, double y, double width, int mostLines)
    {
        double below = y;
        (IReadOnlyList<string> lines, TextStyle style) = TextLayout.WrapToFit(text, width, Plain, mostLines);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => below = canvas.Lines(lines, x, y, style));
        return below;
    }
}
