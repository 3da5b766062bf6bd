using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Labels for bins: a code to scan and, as large as there is room, the same code to read.</summary>
public static class BinLabelDocument
{
    /// <summary>A module of a millimetre is read at arm's length; larger labels get larger ones.</summary>
    private const double UsualModule = 1.0;

    private const double LargestQrShare = 0.48;

    /// <summary>At most this share of the width is given to the symbol with its quiet zone, the rest to words.</summary>
    private const double CodeShare = 0.57;

    private const double HatchInset = 0.9;
    private const double HatchWidth = 1.5;
    private const double HatchStep = 1.8;

    /// <summary>Sheets of labels.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No label, more than 10,000, a place that the sheet lacks, or a link over 200 characters.</exception>
    public static byte[] Render(IReadOnlyList<BinLabel> labels, LabelSheetLayout layout, PrintTexts texts, LabelPlacement? placement = null) =>
        LabelSheet.Render(
            texts[PrintWords.BinLabels], texts, labels, layout, placement ?? new LabelPlacement(), (canvas, room, label) => Draw(canvas, room, label, texts));

    /// <summary>One label on a page of its own size.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The link is empty or longer than 200 characters.</exception>
    public static byte[] RenderSingle(BinLabel label, PrintTexts texts, LabelSize? size = null) =>
        LabelSheet.RenderSingle(texts[PrintWords.BinLabels], texts, size ?? LabelSize.Default, (canvas, room) => Draw(canvas, room, label, texts));

    private static void Draw(Canvas canvas, LabelRoom room, BinLabel label, PrintTexts texts)
    {
        double border = label.IsQuarantine ? HatchInset + HatchWidth : 0;
        Box inner = room.Label.Deflate(border, border);
        if (label.IsQuarantine)
        {
            DrawHatch(canvas, room.Label.Deflate(HatchInset, HatchInset));
        }

        QrSymbol code = QrSymbol.Of(label.Url);
        double module = Module(code, inner, room.Safe);
        double side = code.Modules * module;
        double quiet = QrSymbol.QuietZone * module;
        double left = Math.Max(room.Safe.X, inner.X + quiet);
        double top = room.Label.MiddleY - (side / 2);
        code.Draw(canvas, left, top, module, texts[PrintWords.CodeFor, label.Code]);

        double textLeft = left + side + quiet;
        double textRight = Math.Min(room.Safe.Right, inner.Right - (label.IsQuarantine ? 0.8 : 0));
        double textBottom = Math.Min(room.Safe.Bottom, inner.Bottom - 1);
        DrawWords(canvas, new Box(textLeft, top, textRight - textLeft, textBottom - top), side, label, texts);
    }

    /// <summary>
    /// The quiet zone only has to be white, so it may lie in the label's unprinted edge; the dark part must lie in the safe room.
    /// </summary>
    private static double Module(QrSymbol code, Box inner, Box safe)
    {
        double largest = Math.Min(inner.Height / code.ModulesWithQuietZone, safe.Height / code.Modules);
        double wanted = Math.Max(UsualModule, LargestQrShare * inner.Width / code.ModulesWithQuietZone);
        double leavesRoomForWords = inner.Width * CodeShare / code.ModulesWithQuietZone;
        return Math.Min(Math.Min(largest, wanted), leavesRoomForWords);
    }

    private static void DrawWords(Canvas canvas, Box room, double symbolHeight, BinLabel label, PrintTexts texts)
    {
        double scale = Math.Clamp(symbolHeight / 26, 0.75, 1.6);
        TextStyle code = TextLayout.Fit(label.Code, room.Width, new TextStyle(30 * scale, Bold: true), 8).Style;
        bool isBare = !label.IsQuarantine && string.IsNullOrWhiteSpace(label.Name + label.Place + label.Site);
        double y = isBare ? room.Y + ((symbolHeight - code.CapHeight) / 2) : room.Y;
        y += code.CapHeight;
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(label.Code, room.X, y, room.Width, code, smallestSize: 8));
        y += 3.2 * scale;

        if (label.IsQuarantine)
        {
            TextStyle warning = TextLayout.Fit(texts[PrintWords.QuarantineBin], room.Width, new TextStyle(11 * scale, Bold: true), 6).Style;
            y = DrawLines(canvas, texts[PrintWords.QuarantineBin], room, y, warning, 1) + scale;
        }

        y = DrawLines(canvas, label.Name, room, y, new TextStyle(10 * scale, Bold: true), 2);
        y = DrawLines(canvas, label.Place, room, y, new TextStyle(9 * scale), 2);
        DrawLines(canvas, label.Site, room, y, new TextStyle(8 * scale, Soft: true), 1);
    }

    /// <summary>As many lines as there is room for, never past the bottom. Gives the y below them.</summary>
    private static double DrawLines(Canvas canvas, string? text, Box room, double y, TextStyle style, int mostLines)
    {
        int lines = Math.Min(mostLines, (int)((room.Bottom - y - style.CapHeight + 0.01) / style.LineHeight) + 1);
        if (string.IsNullOrWhiteSpace(text) || lines < 1 || y + style.CapHeight > room.Bottom + 0.01)
        {
            return y;
        }

        double next = y;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => next = canvas.Lines(TextLayout.Wrap(text, room.Width, style, lines), room.X, y, style));
        return next;
    }

    private static void DrawHatch(Canvas canvas, Box outer)
    {
        Box hole = outer.Deflate(HatchWidth, HatchWidth);
        Box[] sides =
        [
            new(outer.X, outer.Y, outer.Width, HatchWidth),
            new(outer.X, hole.Bottom, outer.Width, HatchWidth),
            new(outer.X, hole.Y, HatchWidth, hole.Height),
            new(hole.Right, hole.Y, HatchWidth, hole.Height),
        ];
        foreach (Box side in sides)
        {
            canvas.Clipped(side, () =>
            {
                for (double x = outer.X - outer.Height; x < outer.Right; x += HatchStep)
                {
                    canvas.Stroke(x, outer.Bottom, x + outer.Height, outer.Y, 0.6, Ink.Text);
                }
            });
        }
    }
}
