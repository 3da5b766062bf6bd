using GuildStash.Domain.Rules;
using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Labels for kits: number and code, what is made of it, for which project, and what its fibres are believed to be.</summary>
public static class KitLabelDocument
{
    private const double UsualModule = 0.6;
    private const long HeaviestMilligrams = 1_000_000_000;
    private const int MostSwatches = 8;

    /// <summary>A smaller one shows no colour, mm.</summary>
    private const double SmallestSwatch = 1.6;

    /// <summary>The drawing is thought for this size and scaled to others.</summary>
    private static readonly LabelSize Drawn = LabelSize.Default;

    /// <summary>Sheets of labels.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No label, more than 10,000, a place that the sheet lacks, a mass outside 0 to 1,000 kg, or a link over 200 characters.</exception>
    public static byte[] Render(IReadOnlyList<KitLabel> labels, LabelSheetLayout layout, PrintTexts texts, LabelPlacement? placement = null)
    {
        foreach (KitLabel label in labels)
        {
            Guard.InRange(label.Milligrams, 0L, HeaviestMilligrams, nameof(label.Milligrams));
            Guard.InRange(label.Pieces, 1L, int.MaxValue, nameof(label.Pieces));
        }

        return LabelSheet.Render(texts[PrintWords.KitLabels], texts, labels, layout, placement ?? new LabelPlacement(), (canvas, room, label) => Draw(canvas, room, label, texts));
    }

    private static void Draw(Canvas canvas, LabelRoom room, KitLabel label, PrintTexts texts)
    {
        double scale = Math.Clamp(Math.Min(room.Label.Width / Drawn.Width, room.Label.Height / Drawn.Height), 0.66, 1.5);
        Box inner = room.Safe.Deflate(0.6, 0.6);
        QrSymbol code = QrSymbol.Of(label.Url);
        double foot = Sized(7, 6, scale).LineHeight * 2;
        double module = Math.Min(UsualModule * Math.Max(1, scale), (inner.Height - foot - (1.5 * scale)) / code.Modules);
        double side = code.Modules * module;
        code.Draw(canvas, inner.Right - side, inner.Y, module, texts[PrintWords.CodeFor, label.Number]);

        Box words = inner with { Width = inner.Width - side - (QrSymbol.QuietZone * module), Height = inner.Height - foot };
        DrawWhat(canvas, words, label, texts, scale);
        DrawCare(canvas, inner with { Y = inner.Bottom - foot, Height = foot }, label, scale);
    }

    private static void DrawWhat(Canvas canvas, Box words, KitLabel label, PrintTexts texts, double scale)
    {
        TextStyle number = TextLayout.Fit(label.Number, words.Width, Sized(14, 10, scale, bold: true), 7).Style;
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(label.Number, words.X, words.Y + number.CapHeight, words.Width, number));
        double y = words.Y + number.CapHeight + (1.8 * scale);
        y = DrawLine(canvas, words, y, texts[PrintWords.NumberOfPieces, texts.Number(label.Pieces), label.Piece], Sized(10, 8, scale, bold: true), 2);
        if (!string.IsNullOrWhiteSpace(label.Project))
        {
            y = DrawLine(canvas, words, y, label.Project, Sized(8, 6.5, scale), 1);
        }

        string mass = texts[label.Lots == 1 ? PrintWords.KitOfOneLot : PrintWords.KitOfLots, texts.Grams(label.Milligrams), texts.Number(label.Lots)];
        y = DrawLine(canvas, words, y, label.IsPacked ? mass : $"{mass}, {texts[PrintWords.KitNotPacked]}", Sized(7, 6, scale) with { Soft = true }, 1);
        DrawSwatches(canvas, words, y, label, scale);
    }

    /// <returns>Where the next line begins; what has no room is left out, from the bottom.</returns>
    private static double DrawLine(Canvas canvas, Box words, double y, string text, TextStyle style, int mostLines)
    {
        IReadOnlyList<string> lines = mostLines == 1 ? [text] : TextLayout.Wrap(text, words.Width, style, mostLines);
        if (y + (lines.Count * style.LineHeight) > words.Bottom)
        {
            lines = [.. lines.Take(Math.Max(0, (int)((words.Bottom - y) / style.LineHeight)))];
        }

        if (lines.Count > 0)
        {
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () =>
            {
                if (mostLines == 1)
                {
                    canvas.Line(text, words.X, y + style.CapHeight, words.Width, style, smallestSize: 5);
                }
                else
                {
                    canvas.Lines(lines, words.X, y, style);
                }
            });
        }

        return y + (lines.Count * style.LineHeight) + 0.4;
    }

    private static void DrawSwatches(Canvas canvas, Box words, double y, KitLabel label, double scale)
    {
        double side = Math.Min(3.6 * scale, words.Bottom - y - (1.2 * scale));
        double step = side + (1 * scale);
        int most = Math.Min(MostSwatches, (int)((words.Width + 1) / step));
        if (side < SmallestSwatch)
        {
            return;
        }

        foreach ((PrintedColour colour, int i) in label.Colours.Take(most).Select((c, i) => (c, i)))
        {
            YarnDrawing.Swatch(canvas, colour, new Box(words.X + (i * step), y, side, side));
        }
    }

    private static void DrawCare(Canvas canvas, Box foot, KitLabel label, double scale)
    {
        if (!string.IsNullOrWhiteSpace(label.Care))
        {
            TextStyle style = Sized(7, 6, scale);
            (IReadOnlyList<string> lines, TextStyle fitted) = TextLayout.WrapToFit(label.Care, foot.Width, style, 2);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(lines, foot.X, foot.Bottom - (lines.Count * fitted.LineHeight) + (0.5 * scale), fitted));
        }
    }

    private static TextStyle Sized(double size, double smallest, double scale, bool bold = false) => new(Math.Max(smallest, size * scale), bold);
}
