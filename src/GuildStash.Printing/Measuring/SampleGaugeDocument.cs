using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>
/// One page at true scale: two strips to cut out and lay or wind a sample on, whose turns make up metres and yards, the proof that the
/// printer did not scale, and how long a sample must be for the scale.
/// </summary>
public static class SampleGaugeDocument
{
    /// <summary>From notch to notch of the metre strip, mm: twice there and back is a metre.</summary>
    public const double MetreStrip = 250;

    /// <summary>The same of the yard strip, mm: a quarter of 914.4.</summary>
    public const double YardStrip = 228.6;

    /// <summary>A sample should weigh this many divisions of its scale (common practice).</summary>
    private const double FewestDivisions = 20;

    private const double Inch = 25.4;
    private const double StripWidth = 36;
    private const double NotchWidth = 16;
    private const double NotchDepth = 4;
    private const double Between = 6;
    private const double ContentWidth = (2 * StripWidth) + Between + 8 + TextWidth;
    private const double TextWidth = 104;

    private const double CardThickness = 1;

    /// <summary>An inch over 13 wraps, the middle of DK.</summary>
    private const double DkThickness = Inch / 13;

    private static readonly int[] Lengths = [1, 5, 10, 20, 40];
    private static readonly TextStyle Heading = new(12, Bold: true);
    private static readonly TextStyle Plain = new(9.5);

    /// <param name="rows">The classes that wraps can tell apart, thinnest first.</param>
    /// <param name="size">The sheet.</param>
    /// <param name="texts">The reader's language.</param>
    public static byte[] Render(IReadOnlyList<PrintedClassRow> rows, PaperSize size, PrintTexts texts) =>
        Paper.Render(texts[PrintWords.SampleGauge], texts, paper =>
        {
            Canvas canvas = paper.NewPage(size.Width, size.Height);
            double left = (size.Width - ContentWidth) / 2;
            double top = (size.Height - MetreStrip - (2 * NotchDepth)) / 2;
            DrawText(canvas, left + (2 * StripWidth) + Between + 8, top, rows, texts);
            DrawStrip(canvas, left, top, MetreStrip, 10, 5, texts[PrintWords.MetreStrip], count => texts[PrintWords.Metres, texts.Number(count)], texts);
            DrawStrip(canvas, left + StripWidth + Between, top, YardStrip, Inch / 2, 2, texts[PrintWords.YardStrip], count => texts[PrintWords.Yards, texts.Number(count)], texts);
        });

    private static void DrawStrip(Canvas canvas, double x, double top, double length, double step, int stepsPerNumber, string name, Func<int, string> named, PrintTexts texts)
    {
        double from = top + NotchDepth;
        canvas.Polygon(Outline(x, top, length), TrueScale.Hairline, Ink.Text);
        for (int tick = 1; tick * step < length - 0.01; tick++)
        {
            bool isNumbered = tick % stepsPerNumber == 0;
            canvas.Stroke(x, from + (tick * step), x + (isNumbered ? 5 : 3), from + (tick * step), TrueScale.Hairline, Ink.Text);
            if (isNumbered)
            {
                int number = step == 10 ? tick * 10 : tick / stepsPerNumber;
                TrueScale.Number(canvas, number, new Box(x + 5.5, from + (tick * step) - 2, 6, 4), Align.Left);
            }
        }

        double y = from + 12;
        Box line = new(x + 12.5, y, StripWidth - 14, 5);
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Middle(name, line, new TextStyle(10, Bold: true)));
        TextStyle small = new(8.5);
        (IReadOnlyList<string> turn, TextStyle turnStyle) = TextLayout.WrapToFit(texts[PrintWords.OneTurn, texts.Number(2 * length)], line.Width, small, 2);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => y = canvas.Lines(turn, line.X, y + 8, turnStyle));
        y += 3;
        foreach (int count in Lengths)
        {
            string turns = texts[PrintWords.TurnsAre, texts.Number(2 * count), named(count)];
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(turns, line with { Y = y }, small));
            y += 6;
        }
    }

    /// <summary>A strip with a notch in each of its short edges; the floors of the notches are the stated length apart.</summary>
    private static IEnumerable<(double X, double Y)> Outline(double x, double top, double length)
    {
        double notch = x + ((StripWidth - NotchWidth) / 2);
        double upper = top + NotchDepth;
        double lower = upper + length;
        return
        [
            (x, top), (notch, top), (notch, upper), (notch + NotchWidth, upper), (notch + NotchWidth, top), (x + StripWidth, top),
            (x + StripWidth, lower + NotchDepth), (notch + NotchWidth, lower + NotchDepth), (notch + NotchWidth, lower), (notch, lower), (notch, lower + NotchDepth), (x, lower + NotchDepth),
        ];
    }

    private static void DrawText(Canvas canvas, double x, double top, IReadOnlyList<PrintedClassRow> rows, PrintTexts texts)
    {
        TextStyle title = new(18, Bold: true);
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(texts[PrintWords.SampleGauge], x, top + title.CapHeight, TextWidth, title));
        Paragraph(canvas, texts[PrintWords.PrintFullSize], x, top + 9, 2);
        Paragraph(canvas, texts[PrintWords.TestRule], x, top + 20, 1);
        TrueScale.Rule(canvas, x, top + 25);
        double card = top + 40;
        TrueScale.Card(canvas, x, card);
        IReadOnlyList<string> about = TextLayout.Wrap(texts[PrintWords.TestCard], TrueScale.CardWidth - 12, Plain, 3);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(about, x + 6, card + 6, Plain));
        double y = card + TrueScale.CardHeight + 8;
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Line(texts[PrintWords.HowToWeigh], x, y + Heading.CapHeight, TextWidth, Heading));
        y += 7;
        double excess = (2 * CardThickness) + (Math.PI * DkThickness);
        string[] steps =
        [
            texts[PrintWords.GlueAndCut], texts[PrintWords.LayOrWind],
            texts[PrintWords.WoundIsLonger, texts.Number(CardThickness), texts.Number(Math.Round(excess))], texts[PrintWords.WeighIt],
        ];
        foreach (string step in steps)
        {
            y = Paragraph(canvas, step, x, y, 5) + 1.6;
        }

        DrawShortest(canvas, x, y + 4, rows, texts);
    }

    /// <summary>Computed from the class's high figure: even the finest yarn of the class then weighs enough.</summary>
    private static void DrawShortest(Canvas canvas, double x, double y, IReadOnlyList<PrintedClassRow> rows, PrintTexts texts)
    {
        const double First = 34;
        const double Column = 35;
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Line(texts[PrintWords.ShortestSample], x, y + Heading.CapHeight, TextWidth, Heading));
        Paragraph(canvas, texts[PrintWords.ShortestWhy], x, y + 6, 2);
        double line = y + 17;
        double[] divisions = [1, 0.1];
        for (int at = 0; at < divisions.Length; at++)
        {
            string head = texts[PrintWords.ScaleReadsTo, texts.Number(divisions[at])];
            Box box = new(x + First + (at * Column), line, Column, 4);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(head, box, new TextStyle(8.5, Soft: true), Align.Right));
        }

        foreach (PrintedClassRow row in rows)
        {
            line += 5.2;
            Box box = new(x, line, First, 4);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(row.Name, box, Plain));
            for (int at = 0; at < divisions.Length; at++)
            {
                string length = texts.AtMost(row.HighMetres * FewestDivisions * divisions[at] / 100);
                Box cell = new(x + First + (at * Column), line, Column, 4);
                canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(length, cell, Plain, Align.Right));
            }
        }
    }

    private static double Paragraph(Canvas canvas, string text, double x, double y, int mostLines)
    {
        double below = y;
        (IReadOnlyList<string> lines, TextStyle style) = TextLayout.WrapToFit(text, TextWidth, Plain, mostLines);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => below = canvas.Lines(lines, x, y, style));
        return below;
    }
}
