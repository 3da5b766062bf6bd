using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Labels for lots: what the yarn is, how far it surely reaches, and a code to scan.</summary>
public static class LotLabelDocument
{
    private const double UsualModule = 0.6;

    /// <summary>Points; smaller print can't be read at an arm's length.</summary>
    private const double SmallestFoot = 5;

    /// <summary>The drawing is thought for this size and scaled to others.</summary>
    private static readonly LabelSize Drawn = LabelSize.Default;

    /// <summary>Sheets of labels.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No label, more than 10,000, a place that the sheet lacks, or a link over 200 characters.</exception>
    public static byte[] Render(IReadOnlyList<LotLabel> labels, LabelSheetLayout layout, PrintTexts texts, LabelPlacement? placement = null) =>
        LabelSheet.Render(
            texts[PrintWords.LotLabels], texts, labels, layout, placement ?? new LabelPlacement(), (canvas, room, label) => Draw(canvas, room, label, texts));

    /// <summary>One label on a page of its own size.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The link is empty or longer than 200 characters.</exception>
    public static byte[] RenderSingle(LotLabel label, PrintTexts texts, LabelSize? size = null) =>
        LabelSheet.RenderSingle(texts[PrintWords.LotLabels], texts, size ?? LabelSize.Default, (canvas, room) => Draw(canvas, room, label, texts));

    private static void Draw(Canvas canvas, LabelRoom room, LotLabel label, PrintTexts texts)
    {
        double scale = Math.Clamp(Math.Min(room.Label.Width / Drawn.Width, room.Label.Height / Drawn.Height), 0.66, 1.5);
        Box inner = room.Safe.Deflate(0.6, 0.6);
        QrSymbol code = QrSymbol.Of(label.Url);
        double module = Math.Min(UsualModule * Math.Max(1, scale), (inner.Height - (6 * scale)) / code.Modules);
        double side = code.Modules * module;
        Box symbol = new(inner.Right - side, inner.Y, side, side);
        code.Draw(canvas, symbol.X, symbol.Y, module, texts[PrintWords.CodeFor, label.Code]);

        Box words = inner with { Width = symbol.X - (QrSymbol.QuietZone * module) - inner.X };
        double y = DrawYarn(canvas, words, label, scale);
        double last = DrawLength(canvas, words with { Y = y, Height = inner.Bottom - y }, label, texts, scale);
        DrawFoot(canvas, inner, words.Width, label, texts, scale);
        if (label is { Milligrams: not null, IsForTrade: false })
        {
            DrawNotForTrade(canvas, words with { Y = last, Height = inner.Bottom - last }, texts, scale);
        }
    }

    private static double DrawYarn(Canvas canvas, Box words, LotLabel label, double scale)
    {
        TextStyle code = TextLayout.Fit(label.Code, words.Width, Sized(16, 11, scale, bold: true), 7).Style;
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(label.Code, words.X, words.Y + code.CapHeight, words.Width, code));

        double row = 4.4 * scale;
        double picture = 9 * scale;
        double textLeft = words.X + picture + (1.6 * scale);
        TextStyle plain = Sized(9, 7, scale);
        double y = words.Y + code.CapHeight + (2.4 * scale);
        YarnDrawing.Swatch(canvas, label.Colour, new Box(words.X, y, picture, row * 0.86));
        Box text = new(textLeft, y, words.Right - textLeft, row * 0.86);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(label.Colour.Name, text, plain));
        y += row + (1.1 * scale);
        if (label.WeightClass is { } weightClass)
        {
            YarnDrawing.ClassStrand(canvas, weightClass, new Box(words.X, y, picture, row));
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(weightClass.Name, text with { Y = y, Height = row }, plain));
        }

        return y + row + (2.3 * scale);
    }

    /// <returns>Where the last line stands.</returns>
    private static double DrawLength(Canvas canvas, Box room, LotLabel label, PrintTexts texts, double scale)
    {
        TextStyle bold = Sized(12, 9, scale, bold: true);
        string promise = label.Length is { } known ? texts[PrintWords.AtLeast, texts.AtLeast(known.LowMetres)] : texts[PrintWords.LengthUnknown];
        TextStyle style = label.Length is null ? Sized(9, 7, scale) with { Soft = true } : bold;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(promise, room.X, room.Y + bold.CapHeight, room.Width, style));
        double last = room.Y + bold.CapHeight;
        if (label.Length is { } length)
        {
            double y = room.Y + bold.CapHeight + (1.3 * scale);
            YarnDrawing.LengthStrand(canvas, length, new Box(room.X, y, room.Width * 0.86, 1.1 * scale));
            TextStyle small = Sized(6.75, 5.5, scale) with { Soft = true };
            string range = texts[PrintWords.ProbablyAtMost, texts.About(length.LikelyMetres), texts.AtMost(length.HighMetres)];
            y += (2.2 * scale) + small.CapHeight;
            bool isClearOfFoot = y < room.Bottom - Sized(8, 6.5, scale).LineHeight;
            if (isClearOfFoot)
            {
                canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(range, room.X, y, room.Width, small, smallestSize: 5));
            }

            last = y;
        }

        return last;
    }

    /// <summary>In small print between the length and the foot; on a label that has no room for a line there, at the edge beside it.</summary>
    private static void DrawNotForTrade(Canvas canvas, Box room, PrintTexts texts, double scale)
    {
        TextStyle small = new(Math.Max(4.5, 5 * scale), Soft: true);
        double baseline = room.Bottom - (0.5 * scale) - Sized(8, 6.5, scale).LineHeight;
        bool isClear = baseline - small.CapHeight > room.Y + (0.4 * scale);
        string words = texts[PrintWords.NotForTrade];
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(words, room.X, isClear ? baseline : room.Y - (1.1 * scale), room.Width, small, isClear ? Align.Left : Align.Right, 4));
    }

    private static void DrawFoot(Canvas canvas, Box inner, double wordsWidth, LotLabel label, PrintTexts texts, double scale)
    {
        TextStyle plain = Sized(8, 6.5, scale);
        double baseline = inner.Bottom - (0.5 * scale);
        string mass = label.Milligrams is { } milligrams ? texts.Grams(milligrams) : texts[PrintWords.NotWeighed];
        string formerly = string.IsNullOrWhiteSpace(label.Formerly) ? "" : texts[PrintWords.InPlaceOf, label.Formerly];
        double footLeft = inner.X;
        if (label.IsQuarantined)
        {
            string apart = texts[PrintWords.QuarantineBin];
            TextStyle bold = Sized(8, 6.5, scale, bold: true);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(apart, inner.X, baseline, wordsWidth, bold, smallestSize: 5));
            footLeft += Math.Min(wordsWidth, TextLayout.Width(apart, bold) + (1.6 * scale));
        }

        double footWidth = inner.X + wordsWidth - footLeft;
        string counted = Joined(formerly, mass, label.Pieces, label.Fibres);
        bool hasRoom = TextLayout.Width(counted, plain with { Size = SmallestFoot }) <= footWidth;
        string foot = hasRoom ? counted : Joined(formerly, mass, label.Fibres);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(foot, footLeft, baseline, footWidth, plain, smallestSize: SmallestFoot));
        if (!string.IsNullOrWhiteSpace(label.BinCode))
        {
            double left = inner.X + wordsWidth;
            string bin = texts[PrintWords.BinLine, label.BinCode];
            canvas.Element(
                PdfBlockLevelElementTag.Paragraph,
                () => canvas.Line(bin, left, baseline, inner.Right - left, Sized(9, 7, scale, bold: true), Align.Right, 5));
        }
    }

    private static string Joined(params string?[] parts) => string.Join(" · ", parts.Where(part => !string.IsNullOrWhiteSpace(part)));

    private static TextStyle Sized(double size, double smallest, double scale, bool bold = false) => new(Math.Max(smallest, size * scale), bold);
}
