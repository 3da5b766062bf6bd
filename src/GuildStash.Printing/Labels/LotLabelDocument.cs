using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>Labels for lots: what the yarn is, how far it surely reaches, and a code to scan.</summary>
public static class LotLabelDocument
{
    private const double UsualModule = 0.6;

    /// <summary>Points; smaller print can't be read at an arm's length.</summary>
    private const double SmallestFoot = 5;

    /// <summary>A label of a smaller scale is too low for another line.</summary>
    private const double LowScale = 0.8;

    /// <summary>A shorter strand says nothing, mm.</summary>
    private const double ShortestStrand = 5;

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
        bool isLow = scale < LowScale;
        double height = room.Label.Height;
        if (label.IsQuarantined && !isLow)
        {
            TextStyle word = Sized(12, 10, scale, bold: true);
            double band = word.CapHeight + (3.2 * scale);
            DrawQuarantine(canvas, new Box(inner.X, inner.Bottom - band, inner.Width, band), word, texts[PrintWords.QuarantineBin]);
            double taken = band + (1.2 * scale);
            inner = inner with { Height = inner.Height - taken };
            height -= taken;
            scale = Math.Min(scale, Math.Max(0.66, height / Drawn.Height));
        }

        // Words of a label that is higher than the drawing grow with it; each shrinks again where it would be too wide.
        double tall = Math.Clamp(height / Drawn.Height, scale, scale * 1.25);
        QrSymbol code = QrSymbol.Of(label.Url);
        double module = Math.Min(UsualModule * Math.Max(1, scale), (inner.Height - (6 * scale)) / code.Modules);
        double side = code.Modules * module;
        Box symbol = new(inner.Right - side, inner.Y, side, side);
        code.Draw(canvas, symbol.X, symbol.Y, module, texts[PrintWords.CodeFor, label.Code]);

        Box words = inner with { Width = symbol.X - (QrSymbol.QuietZone * module) - inner.X };
        double y = DrawYarn(canvas, words, label, isLow && label.IsQuarantined ? texts[PrintWords.QuarantineBin] : null, scale, tall);
        string? note = label is { Milligrams: not null, IsForTrade: false } ? texts[PrintWords.NotForTrade] : null;
        DrawLength(canvas, words with { Y = y, Height = inner.Bottom - y }, label, note, texts, tall);
        DrawFoot(canvas, inner, symbol, words.Width, label, texts, tall);
    }

    /// <summary>In a frame and in large type, so that it is read across a table.</summary>
    private static void DrawQuarantine(Canvas canvas, Box frame, TextStyle style, string word)
    {
        const double Line = 0.6;
        canvas.Outline(frame.Deflate(Line / 2, Line / 2), Line, Ink.Text);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(word, frame.Deflate(Line + 0.5, Line), style, Align.Centre, 5));
    }

    /// <param name="canvas">The page.</param>
    /// <param name="words">Room for words, from the label's top.</param>
    /// <param name="label">What it says.</param>
    /// <param name="warning">Stands in a frame beside the code, on a label too low for a line of its own; null for none.</param>
    /// <param name="scale">Across.</param>
    /// <param name="tall">Of heights and of type.</param>
    /// <returns>Where the length begins.</returns>
    private static double DrawYarn(Canvas canvas, Box words, LotLabel label, string? warning, double scale, double tall)
    {
        TextStyle code = TextLayout.Fit(label.Code, words.Width, Sized(16, 11, tall, bold: true), 7).Style;
        if (warning is not null)
        {
            double left = words.X + Math.Min(words.Width / 2, TextLayout.Width(label.Code, code) + 1.6);
            code = TextLayout.Fit(label.Code, left - 1 - words.X, code, 5).Style;
            DrawQuarantine(canvas, new Box(left, words.Y - 0.8, words.Right - left, code.CapHeight + 1.6), new TextStyle(8.5, Bold: true), warning);
        }

        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(label.Code, words.X, words.Y + code.CapHeight, words.Width, code));

        double row = 4.4 * tall;
        double picture = 9 * scale;
        double textLeft = words.X + picture + (1.6 * scale);
        TextStyle plain = Sized(9, 7, tall);
        double y = words.Y + code.CapHeight + (2.4 * tall);
        YarnDrawing.Swatch(canvas, label.Colour, new Box(words.X, y, picture, row * 0.86));
        Box text = new(textLeft, y, words.Right - textLeft, row * 0.86);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(label.Colour.Name, text, plain));
        y += row + (1.1 * tall);
        if (label.WeightClass is { } weightClass)
        {
            YarnDrawing.ClassStrand(canvas, weightClass, new Box(words.X, y, picture, row));
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(weightClass.Name, text with { Y = y, Height = row }, plain));
        }

        return y + row + (2.3 * tall);
    }

    /// <param name="canvas">The page.</param>
    /// <param name="room">From here to the label's end.</param>
    /// <param name="label">What it says.</param>
    /// <param name="note">Small print between the length and the foot; where no line is free there, beside the strand, which is shorter then. Null for none.</param>
    /// <param name="texts">The reader's language.</param>
    /// <param name="scale">Of heights and of type.</param>
    private static void DrawLength(Canvas canvas, Box room, LotLabel label, string? note, PrintTexts texts, double scale)
    {
        TextStyle bold = Sized(12, 9, scale, bold: true);
        TextStyle tiny = new(Math.Max(4.5, 5 * scale), Soft: true);
        string promise = label.Length is { } known ? texts[PrintWords.AtLeast, texts.AtLeast(known.LowMetres)] : texts[PrintWords.LengthUnknown];
        TextStyle style = label.Length is null ? Sized(9, 7, scale) with { Soft = true } : bold;
        double last = room.Y + bold.CapHeight;
        double promiseAt = last;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(promise, room.X, promiseAt, room.Width, style));

        double aboveFoot = room.Bottom - (0.5 * scale) - Sized(8, 6.5, scale).LineHeight;
        TextStyle small = Sized(6.75, 5.5, scale) with { Soft = true };
        double strandAt = last + (1.3 * scale);
        double rangeAt = last + (3.5 * scale) + small.CapHeight;
        bool noteIsClear = aboveFoot - tiny.CapHeight > (label.Length is null ? last : rangeAt) + (0.4 * scale);
        double noteWidth = note is null || noteIsClear ? 0 : Math.Min(room.Width, TextLayout.Width(note, tiny));
        if (label.Length is { } length)
        {
            double strand = Math.Min(room.Width * 0.86, room.Width - (noteWidth > 0 ? noteWidth + 1.2 : 0));
            if (strand > ShortestStrand)
            {
                YarnDrawing.LengthStrand(canvas, length, new Box(room.X, strandAt, strand, 1.1 * scale));
            }

            if (rangeAt < room.Bottom - Sized(8, 6.5, scale).LineHeight)
            {
                string range = texts[PrintWords.ProbablyAtMost, texts.About(length.LikelyMetres), texts.AtMost(length.HighMetres)];
                canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(range, room.X, rangeAt, room.Width, small, smallestSize: 5));
            }
        }

        if (note is not null)
        {
            double baseline = noteIsClear ? aboveFoot : strandAt + (0.55 * scale) + (tiny.CapHeight / 2);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(note, room.X, baseline, room.Width, tiny, noteIsClear ? Align.Left : Align.Right, 4));
        }
    }

    private static void DrawFoot(Canvas canvas, Box inner, Box symbol, double wordsWidth, LotLabel label, PrintTexts texts, double scale)
    {
        TextStyle plain = Sized(8, 6.5, scale);
        double baseline = inner.Bottom - (0.5 * scale);
        string mass = label.Milligrams is { } milligrams ? texts.Grams(milligrams) : texts[PrintWords.NotWeighed];
        string before = "";
        double right = inner.X + wordsWidth + (1.2 * scale);
        if (!string.IsNullOrWhiteSpace(label.Formerly))
        {
            before = texts[PrintWords.InPlaceOf, label.Formerly];
            TextStyle small = Sized(6, 5, scale);
            double above = baseline - Sized(9, 7, scale).LineHeight;
            bool fitsBelowSymbol = above - small.CapHeight > symbol.Bottom + 1;
            if (fitsBelowSymbol)
            {
                string old = before;
                canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(old, right, above, inner.Right - right, small, Align.Right, 4.5));
                before = "";
            }
        }

        string counted = Joined(before, mass, label.Pieces, label.Fibres);
        bool hasRoom = TextLayout.Width(counted, plain with { Size = SmallestFoot }) <= wordsWidth;
        string foot = hasRoom ? counted : Joined(before, mass, label.Fibres);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(foot, inner.X, baseline, wordsWidth, plain, smallestSize: SmallestFoot));
        if (!string.IsNullOrWhiteSpace(label.BinCode))
        {
            string bin = texts[PrintWords.BinLine, label.BinCode];
            canvas.Element(
                PdfBlockLevelElementTag.Paragraph,
                () => canvas.Line(bin, right, baseline, inner.Right - right, Sized(9, 7, scale, bold: true), Align.Right, 5));
        }
    }

    private static string Joined(params string?[] parts) => string.Join(" · ", parts.Where(part => !string.IsNullOrWhiteSpace(part)));

    private static TextStyle Sized(double size, double smallest, double scale, bool bold = false) => new(Math.Max(smallest, size * scale), bold);
}
