using GuildStash.Domain.Rules;
using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>A poster of one page that asks for yarn: the most wanted kinds in large type, where to bring it, and a code to the open page.</summary>
public static class WantedPosterDocument
{
    /// <summary>Kinds of yarn that can be read from two steps away; a judgement. The rest is counted.</summary>
    public const int MostLines = 6;

    /// <summary>Strands are drawn half as thick again as the yarn, so that a thin one is seen from afar; the thickest then just fits its row.</summary>
    internal const double StrandScale = 1.5;

    private const double Margin = 16;
    private const double RowHeight = 24;
    private const double StrandWidth = 32;
    private const double Gap = 5;
    private const double QuantityWidth = 48;
    private const double BottomHeight = 62;
    private const double CodeSide = 38;

    private static readonly TextStyle Soft = new(11, Soft: true);

    /// <exception cref="ArgumentOutOfRangeException">No line, or a link over 200 characters.</exception>
    public static byte[] Render(WantedPoster poster, PaperSize size, PrintTexts texts)
    {
        Guard.InRange(poster.Lines.Count, 1L, int.MaxValue, "number of kinds on the poster");
        return Paper.Render($"{texts[PrintWords.YarnWanted]} · {poster.GuildName}", texts, paper =>
        {
            Canvas canvas = paper.NewPage(size.Width, size.Height);
            double y = DrawHead(canvas, poster, texts);
            DrawLines(canvas, poster, y, texts);
            DrawBottom(canvas, poster, texts);
        });
    }

    private static double WidthOf(Canvas canvas) => canvas.Width - (2 * Margin);

    /// <returns>The y of the first line.</returns>
    private static double DrawHead(Canvas canvas, WantedPoster poster, PrintTexts texts)
    {
        TextStyle guild = new(16, Soft: true);
        TextStyle title = new(50, Bold: true);
        double width = WidthOf(canvas);
        double y = Margin;
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(poster.GuildName, Margin, y + guild.CapHeight, width, guild, smallestSize: 10));
        y += 11;
        canvas.Element(PdfBlockLevelElementTag.Heading1, () => canvas.Line(texts[PrintWords.YarnWanted], Margin, y + title.CapHeight, width, title, smallestSize: 24));
        y += title.CapHeight + 6;
        if (poster.For.Count > 0)
        {
            TextStyle whom = new(14);
            IReadOnlyList<string> lines = TextLayout.Wrap(texts[PrintWords.WantedFor, string.Join(", ", poster.For)], width, whom, 2);
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(lines, Margin, y, whom));
            y += lines.Count * whom.LineHeight;
        }

        return y + 5;
    }

    private static void DrawLines(Canvas canvas, WantedPoster poster, double y, PrintTexts texts)
    {
        IReadOnlyList<WantedPosterLine> shown = [.. poster.Lines.Take(MostLines)];
        double room = canvas.Height - Margin - BottomHeight - 8 - y;
        double height = Math.Min(RowHeight, room / shown.Count);
        foreach (WantedPosterLine line in shown)
        {
            canvas.Stroke(Margin, y, canvas.Width - Margin, y, 0.3, Ink.Line);
            DrawLine(canvas, line, new Box(Margin, y, WidthOf(canvas), height), texts);
            y += height;
        }

        canvas.Stroke(Margin, y, canvas.Width - Margin, y, 0.3, Ink.Line);
        int more = poster.Lines.Count - shown.Count;
        if (more > 0)
        {
            string words = more == 1 ? texts[PrintWords.OneMoreKind] : texts[PrintWords.MoreKinds, texts.Number(more)];
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(words, Margin, y + 6, WidthOf(canvas), new TextStyle(13)));
        }
    }

    private static void DrawLine(Canvas canvas, WantedPosterLine line, Box row, PrintTexts texts)
    {
        string classes = Classes(line.Classes, texts);
        Box strand = new(row.X, row.Y + 2, StrandWidth, row.Height - 4);
        if (line.Classes.Count > 0)
        {
            // Of several classes the middle one stands for all.
            canvas.Figure(texts[PrintWords.WantedStrand, classes], strand, () => YarnDrawing.ClassStrand(canvas, line.Classes[line.Classes.Count / 2], strand, StrandScale));
        }

        double side = Math.Min(14, row.Height - 6);
        Box swatch = new(strand.Right + Gap, row.MiddleY - (side / 2), side, side);
        if (line.Colour is { Hex: not null } colour)
        {
            YarnDrawing.Swatch(canvas, colour, swatch);
        }

        double x = swatch.Right + Gap;
        double width = row.Right - QuantityWidth - Gap - x;
        double top = row.MiddleY - (row.Height / 2);
        string pieces = string.Join(", ", line.Pieces.Select(piece => texts[PrintWords.NumberOfPieces, texts.Number(piece.Number), piece.Name]));
        Text(canvas, classes, new Box(x, top + (row.Height * 0.06), width, row.Height * 0.4), new TextStyle(20, Bold: true), Align.Left);
        Text(canvas, line.Colour?.Name ?? texts[PrintWords.AnyColour], new Box(x, top + (row.Height * 0.44), width, row.Height * 0.26), new TextStyle(14), Align.Left);
        Text(canvas, texts[PrintWords.WantedFor, pieces], new Box(x, top + (row.Height * 0.7), width, row.Height * 0.24), Soft, Align.Left);
        Box quantity = new(row.Right - QuantityWidth, top, QuantityWidth, row.Height);
        Text(canvas, texts[PrintWords.About, texts.About(line.Metres)], quantity with { Y = top + (row.Height * 0.06), Height = row.Height * 0.4 }, new TextStyle(18, Bold: true), Align.Right);
        if (line.Milligrams is { } mass)
        {
            Text(canvas, texts.Mass((long)Math.Round(mass / 1000.0) * 1000), quantity with { Y = top + (row.Height * 0.44), Height = row.Height * 0.26 }, new TextStyle(14), Align.Right);
        }
    }

    private static void DrawBottom(Canvas canvas, WantedPoster poster, PrintTexts texts)
    {
        double y = canvas.Height - Margin - BottomHeight;
        double width = WidthOf(canvas) - (poster.Url is null ? 0 : CodeSide + 8);
        TextStyle heading = new(15, Bold: true);
        TextStyle plain = new(14);
        TextStyle small = new(10.5);
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Line(texts[PrintWords.BringItTo], Margin, y + heading.CapHeight, width, heading));
        string place = poster.Address.Length > 0 ? $"{poster.GuildName}\n{poster.Address}" : poster.GuildName;
        (IReadOnlyList<string> lines, TextStyle style) = TextLayout.WrapToFit(place, width, plain, 5);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(lines, Margin, y + 9, style));
        IReadOnlyList<string> care = TextLayout.Wrap(texts[PrintWords.CleanAndDry], width, small, 3);
        double careTop = canvas.Height - Margin - 8 - (care.Count * small.LineHeight);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(care, Margin, careTop, small));
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(texts[PrintWords.AsOfDate, texts.Date(poster.AsOf)], Margin, canvas.Height - Margin - 1, width, new TextStyle(9, Soft: true)));
        if (poster.Url is { } url)
        {
            DrawCode(canvas, url, y, texts);
        }
    }

    private static void DrawCode(Canvas canvas, string url, double y, PrintTexts texts)
    {
        QrSymbol code = QrSymbol.Of(url);
        double module = CodeSide / code.ModulesWithQuietZone;
        double left = canvas.Width - Margin - CodeSide;
        Box caption = new(left, y, CodeSide, 8);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.MiddleLines(texts[PrintWords.WantedNow], caption, new TextStyle(10.5), 2, Align.Centre));
        code.Draw(canvas, left + (QrSymbol.QuietZone * module), y + 8 + (QrSymbol.QuietZone * module), module, texts[PrintWords.WantedLink]);
        (IReadOnlyList<string> lines, TextStyle style) = TextLayout.WrapToFit(Typed(url), CodeSide, new TextStyle(8, Soft: true), 4);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(lines, new Box(left, y + 8 + CodeSide, CodeSide, 12), style, Align.Centre));
    }

    /// <summary>As somebody types it: host and path on two lines, without the scheme.</summary>
    private static string Typed(string url) => Uri.TryCreate(url, UriKind.Absolute, out Uri? uri) ? $"{uri.Authority}\n{uri.AbsolutePath}".ToLowerInvariant() : url;

    private static string Classes(IReadOnlyList<PrintedWeightClass> classes, PrintTexts texts) => classes.Count switch
    {
        0 => texts[PrintWords.ThicknessToAsk],
        1 => classes[0].Name,
        _ => texts[PrintWords.AnyOf, string.Join(", ", classes.Take(classes.Count - 1).Select(c => c.Name)), classes[^1].Name],
    };

    private static void Text(Canvas canvas, string text, Box box, TextStyle style, Align align) =>
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(text, box, style, align));
}
