using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Two pages that prove a printer before labels are spent: the outlines of all labels, then rule and card at true scale.</summary>
public static class TestPageDocument
{
    private const double Hairline = 0.2;
    private const double Margin = 20;

    public static byte[] Render(LabelSheetLayout layout, PrintTexts texts, LabelPlacement? placement = null)
    {
        LabelPlacement moved = placement ?? new LabelPlacement();
        return Paper.Render(texts[PrintWords.TestPage], texts, paper =>
        {
            DrawOutlines(paper.NewPage(layout.PageWidth, layout.PageHeight), layout, moved, texts);
            DrawScale(paper.NewPage(layout.PageWidth, layout.PageHeight), texts);
        });
    }

    private static void DrawOutlines(Canvas canvas, LabelSheetLayout layout, LabelPlacement placement, PrintTexts texts)
    {
        for (int place = 0; place < layout.LabelsPerPage; place++)
        {
            (double x, double y) = layout.Corner(place);
            Box label = new(x + placement.NudgeX, y + placement.NudgeY, layout.LabelWidth, layout.LabelHeight);
            canvas.Outline(label, Hairline, Ink.Text);
            string number = texts.Number(place + 1);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(number, label with { Height = 12 }, new TextStyle(14, Bold: true), Align.Centre));
            string? words = place switch
            {
                0 => layout.Name,
                1 => texts[PrintWords.TestPrintFullSize],
                2 => texts[PrintWords.TestHoldToLight],
                3 => texts[PrintWords.TestNudge, texts.Number(placement.NudgeX), texts.Number(placement.NudgeY)],
                _ => null,
            };
            if (words is not null)
            {
                TextStyle style = new(7.5);
                IReadOnlyList<string> lines = TextLayout.Wrap(words, layout.LabelWidth - 12, style, 4);
                canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(lines, label.X + 6, label.Y + 11, style));
            }
        }
    }

    private static void DrawScale(Canvas canvas, PrintTexts texts)
    {
        TextStyle heading = new(18, Bold: true);
        TextStyle plain = new(10);
        double width = canvas.Width - (2 * Margin);
        double y = Margin + heading.CapHeight;
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(texts[PrintWords.TestScale], Margin, y, width, heading));
        y += 9;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(texts[PrintWords.TestPrintFullSize], Margin, y, width, plain));

        y += 14;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(texts[PrintWords.TestRule], Margin, y, width, plain));
        y += 4;
        TrueScale.Rule(canvas, Margin, y);

        y += 24;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(texts[PrintWords.TestCard], Margin, y, width, plain));
        TrueScale.Card(canvas, Margin, y + 4);
        double right = canvas.Width - Margin - 14;
        TrueScale.UprightRule(canvas, right, y + 4);
        canvas.Element(
            PdfBlockLevelElementTag.Paragraph,
            () => canvas.Line(texts[PrintWords.TestRule], right - 70, y + 4 + TrueScale.RuleLength, 66, plain, Align.Right));
    }
}
