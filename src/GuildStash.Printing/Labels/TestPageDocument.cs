using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Two pages that prove a printer before labels are spent: the outlines of all labels, then rule and card at true scale.</summary>
public static class TestPageDocument
{
    /// <summary>Length of the rules, mm.</summary>
    public const double RuleLength = 100;

    /// <summary>ISO/IEC 7810, ID-1, mm.</summary>
    public const double CardWidth = 85.60;

    /// <inheritdoc cref="CardWidth"/>
    public const double CardHeight = 53.98;

    private const double CardRadius = 3.18;
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
        DrawRule(canvas, Margin, y);

        y += 24;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(texts[PrintWords.TestCard], Margin, y, width, plain));
        canvas.RoundedOutline(new Box(Margin, y + 4, CardWidth, CardHeight), CardRadius, Hairline, Ink.Text);
        DrawUprightRule(canvas, canvas.Width - Margin - 14, y + 4, texts);
    }

    private static void DrawRule(Canvas canvas, double x, double y)
    {
        canvas.Stroke(x, y, x + RuleLength, y, Hairline, Ink.Text);
        for (int tick = 0; tick <= RuleLength; tick++)
        {
            canvas.Stroke(x + tick, y, x + tick, y + TickLength(tick), Hairline, Ink.Text);
            if (tick % 10 == 0)
            {
                DrawTickNumber(canvas, tick, new Box(x + tick - 4, y + 6, 8, 4), Align.Centre);
            }
        }
    }

    private static void DrawUprightRule(Canvas canvas, double x, double y, PrintTexts texts)
    {
        canvas.Stroke(x, y, x, y + RuleLength, Hairline, Ink.Text);
        for (int tick = 0; tick <= RuleLength; tick++)
        {
            canvas.Stroke(x, y + tick, x + TickLength(tick), y + tick, Hairline, Ink.Text);
            if (tick % 10 == 0)
            {
                DrawTickNumber(canvas, tick, new Box(x + 6, y + tick - 2, 8, 4), Align.Left);
            }
        }

        TextStyle plain = new(10);
        canvas.Element(
            PdfBlockLevelElementTag.Paragraph,
            () => canvas.Line(texts[PrintWords.TestRule], x - 70, y + RuleLength, 66, plain, Align.Right));
    }

    private static double TickLength(int tick) => tick % 10 == 0 ? 5 : tick % 5 == 0 ? 3.5 : 2;

    private static void DrawTickNumber(Canvas canvas, int tick, Box box, Align align) =>
        canvas.Artifact(() => canvas.Middle(tick.ToString(System.Globalization.CultureInfo.InvariantCulture), box, new TextStyle(7), align));
}
