using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>The snug table with each class at true scale: one strand to lay a yarn on, and an inch of wraps.</summary>
internal static class StrandPage
{
    private const double Top = 14;
    private const double RowHeight = 19;
    private const double FirstRow = Top + 32;
    private const double NameWidth = 40;
    private const double WrapsWidth = 26;
    private const double StrandWidth = 46;
    private const double Gap = 6;
    private const double InchHeight = 12;

    /// <summary>Part of a wrap's width that stays white, so that the wraps of the inch can be told apart.</summary>
    private const double White = 0.18;

    private static readonly TextStyle Head = new(8.5, Soft: true);
    private static readonly TextStyle Cell = new(10);

    public static void Draw(Canvas canvas, double left, double width, IReadOnlyList<PrintedClassRow> rows, string tableVersion, PrintTexts texts)
    {
        TextStyle heading = new(14, Bold: true);
        canvas.Element(PdfBlockLevelElementTag.Heading2, () => canvas.Line(texts[PrintWords.Strands], left, Top + heading.CapHeight, width, heading));
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(TextLayout.Wrap(texts[PrintWords.StrandsHow], width, Cell, 2), left, Top + 8, Cell));
        double[] columns = Columns(left);
        string[] heads = [texts[PrintWords.ColumnWeightClass], texts[PrintWords.ColumnWrapsPerInch], texts[PrintWords.ColumnStrand], texts[PrintWords.ColumnInch], texts[PrintWords.ColumnIn100Grams]];
        for (int column = 0; column < heads.Length; column++)
        {
            int at = column;
            double room = (at + 1 < columns.Length ? columns[at + 1] - 2 : left + width) - columns[at];
            canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Line(heads[at], columns[at], FirstRow - 4, room, Head));
        }

        for (int row = 0; row < rows.Count; row++)
        {
            double y = FirstRow + (row * RowHeight);
            canvas.Stroke(left, y, left + width, y, 0.2, Ink.Line);
            DrawRow(canvas, columns, new Box(left, y, width, RowHeight), rows[row], texts);
        }

        TextStyle small = new(9, Soft: true);
        double below = FirstRow + (rows.Count * RowHeight);
        canvas.Stroke(left, below, left + width, below, 0.2, Ink.Line);
        IReadOnlyList<string> notes = TextLayout.Wrap(texts[PrintWords.SnugTable, tableVersion], width, small, 4);
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Lines(notes, left, below + 5, small));
    }

    private static double[] Columns(double left)
    {
        double wraps = left + NameWidth;
        double strand = wraps + WrapsWidth;
        double inch = strand + StrandWidth + Gap;
        return [left, wraps, strand, inch, inch + WrapsCardDocument.Inch + Gap];
    }

    private static void DrawRow(Canvas canvas, double[] columns, Box row, PrintedClassRow weight, PrintTexts texts)
    {
        string name = texts[PrintWords.ClassAndNumber, weight.Name, texts.Number(weight.Number)];
        string length = texts[PrintWords.LowToHigh, texts.About(weight.LowMetres), texts.About(weight.HighMetres)];
        Text(canvas, name, columns[0], row, NameWidth - 2, Cell with { Bold = true });
        Text(canvas, weight.Wraps(texts), columns[1], row, WrapsWidth - 2, Cell);
        Box strand = new(columns[2], row.MiddleY - (weight.Pitch / 2), StrandWidth, weight.Pitch);
        canvas.Figure(texts[PrintWords.StrandOf, weight.Name, texts.Number(weight.TypicalWraps)], strand, () => canvas.Fill(strand, Ink.Text));
        DrawInch(canvas, new Box(columns[3], row.MiddleY - (InchHeight / 2), WrapsCardDocument.Inch, InchHeight), weight, texts);
        Text(canvas, length, columns[4], row, row.Right - columns[4], Cell);
    }

    private static void DrawInch(Canvas canvas, Box inch, PrintedClassRow weight, PrintTexts texts)
    {
        double white = weight.Pitch * White / 2;
        List<Box> wraps = [];
        for (double x = 0; x + white < inch.Width - 1e-9; x += weight.Pitch)
        {
            double right = Math.Min(x + weight.Pitch - white, inch.Width);
            wraps.Add(new Box(inch.X + x + white, inch.Y, right - x - white, inch.Height));
        }

        canvas.Figure(texts[PrintWords.InchOf, weight.Name, texts.Number(weight.TypicalWraps)], inch, () =>
        {
            canvas.FillAll(wraps, Ink.Soft);
            canvas.Outline(inch, 0.15, Ink.Text);
        });
    }

    private static void Text(Canvas canvas, string text, double x, Box row, double width, TextStyle style) =>
        canvas.Element(PdfBlockLevelElementTag.Paragraph, () => canvas.Middle(text, row with { X = x, Width = width }, style));
}
