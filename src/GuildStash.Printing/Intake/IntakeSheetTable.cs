using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>The lots already sorted, then lines to fill by hand.</summary>
internal static class IntakeSheetTable
{
    private const double SortedRowHeight = 11.6;

    /// <summary>High enough for handwriting (judgement).</summary>
    private const double BlankRowHeight = 8.6;

    private const double SignatureHeight = 17;

    public static void Draw(Flow flow, IntakeSheet sheet)
    {
        PrintTexts texts = flow.Texts;
        if (sheet is { StaysShut: true, Lots.Count: 0 })
        {
            flow.EnsureRoom(SignatureHeight);
            DrawSignatures(flow, PrintWords.TakenOutBy);
            return;
        }

        flow.EnsureRoom(45);
        DrawHeading(flow, sheet);
        using (Table table = new(flow, Columns(texts)))
        {
            foreach (IntakeSheetLot lot in sheet.Lots)
            {
                table.Row(SortedRowHeight, Cells(flow, table, lot));
            }

            DrawBlankRows(table, sheet.StaysShut ? 0 : sheet.BlankLines, fillsPage: !sheet.StaysShut);
        }

        DrawSignatures(flow, sheet.StaysShut ? PrintWords.TakenOutBy : PrintWords.SortedBy);
    }

    private static IReadOnlyList<Column> Columns(PrintTexts texts) =>
    [
        new(texts[PrintWords.ColumnLot], 18),
        new(texts[PrintWords.ColumnColour], 30),
        new(texts[PrintWords.ColumnPutUp], 13),
        new(texts[PrintWords.ColumnBalls], 10, Align.Right),
        new(texts[PrintWords.ColumnGrams], 16, Align.Right),
        new(texts[PrintWords.ColumnWraps], 14),
        new(texts[texts.LengthUnit == PaperLengthUnit.Yards ? PrintWords.ColumnBandYards : PrintWords.ColumnBand], 16),
        new(texts[PrintWords.ColumnFibre], 23),
        new(texts[PrintWords.ColumnClassAndLength], 29),
        new(texts[PrintWords.ColumnBin], 13),
    ];

    private static void DrawHeading(Flow flow, IntakeSheet sheet)
    {
        TextStyle heading = new(12, Bold: true);
        double baseline = flow.Y + heading.CapHeight;
        flow.Canvas.Element(
            PdfBlockLevelElementTag.Heading2, () => flow.Canvas.Line(flow.Texts[PrintWords.Lots], Flow.Left, baseline, 80, heading));
        if (sheet.Lots.Count > 0)
        {
            string sorted = SortedSoFar(flow.Texts, sheet);
            flow.Canvas.Element(
                PdfBlockLevelElementTag.Paragraph,
                () => flow.Canvas.Line(sorted, Flow.Left + 82, baseline, Flow.Width - 82, new TextStyle(9, Soft: true), Align.Right));
        }

        flow.Y = baseline + 1.5;
    }

    private static string SortedSoFar(PrintTexts texts, IntakeSheet sheet)
    {
        long sorted = sheet.SortedMilligrams ?? sheet.Lots.Sum(lot => lot.Milligrams ?? 0);
        string text = texts[PrintWords.SortedSoFar, texts.Grams(sorted), texts.Grams(sheet.GrossMilligrams - sheet.TareMilligrams)];
        int notWeighed = sheet.Lots.Count(lot => lot.Milligrams is null);
        return notWeighed == 0 ? text : $"{text} · {texts[PrintWords.LotsNotWeighed, texts.Number(notWeighed)]}";
    }

    private static IReadOnlyList<Action<Box>> Cells(Flow flow, Table table, IntakeSheetLot lot) =>
    [
        table.Text(lot.Code, bold: true),
        box => DrawColour(flow.Canvas, lot.Colour, box),
        table.Text(lot.PutUp),
        table.Text(lot.Balls is { } balls ? flow.Texts.Number(balls) : null, Align.Right, 1),
        table.Text(lot.Milligrams is { } milligrams ? flow.Texts.GramsNumber(milligrams) : flow.Texts[PrintWords.NotWeighed], Align.Right),
        table.Text(lot.Wraps),
        table.Text(lot.Band is { } band ? Band(flow.Texts, band) : null),
        table.Text(lot.Fibres, mostLines: 3, style: Table.SmallCell),
        box => DrawClassAndLength(flow, lot, box),
        table.Text(lot.BinCode, bold: true),
    ];

    /// <summary>Breaks only behind the stroke.</summary>
    private static string Band(PrintTexts texts, PrintedBand band) =>
        texts[PrintWords.BandLengthAndMass, texts.About(band.Metres), texts.Grams((long)Math.Round(band.Grams * 1000))];

    private static void DrawColour(Canvas canvas, PrintedColour colour, Box box)
    {
        const double Side = 4.6;
        YarnDrawing.Swatch(canvas, colour, new Box(box.X, box.MiddleY - (Side / 2), Side, Side));
        canvas.MiddleLines(colour.Name, box with { X = box.X + Side + 1.6, Width = box.Width - Side - 1.6 }, Table.Cell, 2);
    }

    private static void DrawClassAndLength(Flow flow, IntakeSheetLot lot, Box box)
    {
        const double Picture = 7;
        const double Half = 4.4;
        TextStyle small = new(8);
        if (lot.WeightClass is { } weightClass)
        {
            Box upper = box with { Y = box.Y + 0.7, Height = Half };
            YarnDrawing.ClassStrand(flow.Canvas, weightClass, upper with { Width = Picture });
            flow.Canvas.Middle(weightClass.Name, upper with { X = box.X + Picture + 1.4, Width = box.Width - Picture - 1.4 }, small);
        }

        if (lot.Length is { } length)
        {
            string promise = flow.Texts[PrintWords.AtLeast, flow.Texts.AtLeast(length.LowMetres)];
            flow.Canvas.Middle(promise, box with { Y = box.Y + 4.9, Height = Half }, small with { Bold = true });
            YarnDrawing.LengthStrand(flow.Canvas, length, new Box(box.X, box.Bottom - 2.1, box.Width, 0.9));
        }
    }

    private static void DrawBlankRows(Table table, int wanted, bool fillsPage)
    {
        int left = wanted;
        while (table.RowsThatFit(BlankRowHeight, SignatureHeight) is int fitting && (fitting < left || fitting == 0))
        {
            int rows = table.RowsThatFit(BlankRowHeight);
            table.BlankRows(rows, BlankRowHeight);
            left = Math.Max(0, left - rows);
            table.NewPage();
        }

        table.BlankRows(fillsPage ? table.RowsThatFit(BlankRowHeight, SignatureHeight) : 0, BlankRowHeight);
    }

    private static void DrawSignatures(Flow flow, string by)
    {
        const double Name = 58;
        const double Date = 29;
        const double Gap = 4;
        flow.Y = Flow.Bottom - 4.5;
        flow.WritingLine(flow.Texts[by], Flow.Left, Name);
        flow.WritingLine(flow.Texts[PrintWords.OnDate], Flow.Left + Name + Gap, Date - Gap);
        flow.WritingLine(flow.Texts[PrintWords.EnteredBy], Flow.Right - Name - Date, Name);
        flow.WritingLine(flow.Texts[PrintWords.OnDate], Flow.Right - Date + Gap, Date - Gap);
    }
}
