using GuildStash.Domain.Rules;
using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>The list with which kits are fetched from the bins, in the order in which one walks. Upright.</summary>
public static class KitPickListDocument
{
    /// <summary>More lines than anybody fetches in one go.</summary>
    public const int MostRows = 2000;

    private const long HeaviestMilligrams = 1_000_000_000;
    private const double RowHeight = 17;
    private const double QrModule = 0.5;
    private const double TickSide = 5.2;

    /// <exception cref="ArgumentOutOfRangeException">No row or more than 2,000, a mass outside 0 to 1,000 kg, or a link over 200 characters.</exception>
    public static byte[] Render(KitPickList list, PaperSize size, PrintTexts texts)
    {
        Guard.InRange(list.Rows.Count, 1L, MostRows, "number of lines on the list");
        foreach (KitPickRow row in list.Rows)
        {
            Guard.InRange(row.MilligramsToTake, 0L, HeaviestMilligrams, nameof(row.MilligramsToTake));
        }

        string title = list.Kits.Count == 1 ? $"{texts[PrintWords.KitPickList]} {list.Kits[0]}" : texts[PrintWords.KitPickList];
        return Paper.RenderCounted(title, texts, paper =>
        {
            Flow flow = new(paper, $"{list.GuildName} · {title}", size);
            DrawHead(flow, list, title);
            DrawRows(flow, list);
            flow.Y += 4;
            if (!list.IsForTrade)
            {
                flow.Paragraph(texts[PrintWords.WeightsNotForTrade], new TextStyle(7.5, Soft: true), 1);
            }
        });
    }

    private static void DrawHead(Flow flow, KitPickList list, string title)
    {
        PrintTexts texts = flow.Texts;
        TextStyle guild = new(9.5, Soft: true);
        flow.Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => flow.Canvas.Line(list.GuildName, Flow.Left, flow.Y + guild.CapHeight, Flow.Width, guild));
        flow.Canvas.Element(PdfBlockLevelElementTag.Heading1, () => flow.Canvas.Line(title, Flow.Left, flow.Y + 12.4, Flow.Width, new TextStyle(24, Bold: true)));
        flow.Y += 17;
        if (list.For.Length > 0)
        {
            flow.Labelled(texts[PrintWords.ForMember], list.For, new TextStyle(10.5, Bold: true), 2);
        }

        if (list.Kits.Count > 1)
        {
            flow.Paragraph(texts[PrintWords.KitsOnList, texts.Number(list.Kits.Count), string.Join(", ", list.Kits)], new TextStyle(9), 4);
        }

        flow.Paragraph(texts[PrintWords.KitPickHow], new TextStyle(9.5, Soft: true), 2);
        flow.Y += 1;
    }

    private static void DrawRows(Flow flow, KitPickList list)
    {
        PrintTexts texts = flow.Texts;
        using Table table = new(flow,
        [
            new(string.Empty, 9),
            new(texts[PrintWords.ColumnBin], 19),
            new(texts[PrintWords.ColumnLot], 22),
            new(string.Empty, 20),
            new(texts[PrintWords.ColumnColourName], 28),
            new(texts[PrintWords.ColumnWeightClass], 24),
            new(texts[PrintWords.ColumnKitAndPart], 27),
            new(texts[PrintWords.ColumnTake], 16, Align.Right),
            new(texts[PrintWords.ColumnWeighed], 17, Align.Right),
        ]);
        foreach (KitPickRow row in list.Rows
            .OrderBy(row => row.Site, StringComparer.CurrentCultureIgnoreCase).ThenBy(row => row.BinCode, StringComparer.Ordinal)
            .ThenBy(row => row.LotCode, StringComparer.Ordinal).ThenBy(row => row.KitNumber, StringComparer.Ordinal))
        {
            table.Row(RowHeight, Cells(flow, table, row));
        }
    }

    private static IReadOnlyList<Action<Box>> Cells(Flow flow, Table table, KitPickRow row) =>
    [
        box => DrawTick(flow.Canvas, row.IsPicked, box),
        row.Site.Length == 0 ? table.Text(row.BinCode, bold: true) : table.Text($"{row.BinCode} {row.Site}", mostLines: 3, bold: true),
        table.Text(row.LotCode, bold: true),
        box => DrawCode(flow, row, box),
        box => DrawColour(flow.Canvas, row.Colour, box),
        box => DrawClass(flow.Canvas, row.WeightClass, box),
        table.Text(flow.Texts[PrintWords.KitAndPart, row.KitNumber, row.Part], mostLines: 3),
        table.Text(flow.Texts.Grams(row.MilligramsToTake), Align.Right, bold: true),
        box => flow.Canvas.Stroke(box.X, box.MiddleY + 2.6, box.Right, box.MiddleY + 2.6, 0.25, Ink.WritingLine),
    ];

    private static void DrawTick(Canvas canvas, bool isPicked, Box box)
    {
        Box tick = new(box.X, box.MiddleY - (TickSide / 2), TickSide, TickSide);
        canvas.Outline(tick, 0.35, Ink.Text);
        if (isPicked)
        {
            canvas.Stroke(tick.X + 1, tick.MiddleY, tick.X + 2.2, tick.Bottom - 1.1, 0.6, Ink.Text);
            canvas.Stroke(tick.X + 2.2, tick.Bottom - 1.1, tick.Right - 0.9, tick.Y + 1, 0.6, Ink.Text);
        }
    }

    private static void DrawCode(Flow flow, KitPickRow row, Box box)
    {
        QrSymbol code = QrSymbol.Of(row.Url);
        double module = Math.Min(QrModule, Math.Min(RowHeight / code.ModulesWithQuietZone, (box.Width + 2) / code.ModulesWithQuietZone));
        double side = code.Modules * module;
        code.Draw(flow.Canvas, box.X + ((box.Width - side) / 2), box.MiddleY - (side / 2), module, flow.Texts[PrintWords.CodeFor, row.LotCode]);
    }

    private static void DrawColour(Canvas canvas, PrintedColour colour, Box box)
    {
        const double Side = 6;
        YarnDrawing.Swatch(canvas, colour, new Box(box.X, box.MiddleY - (Side / 2), Side, Side));
        canvas.MiddleLines(colour.Name, box with { X = box.X + Side + 1.8, Width = box.Width - Side - 1.8 }, Table.Cell, 3);
    }

    private static void DrawClass(Canvas canvas, PrintedWeightClass? weightClass, Box box)
    {
        const double Picture = 8;
        if (weightClass is not null)
        {
            YarnDrawing.ClassStrand(canvas, weightClass, new Box(box.X, box.MiddleY - 2.6, Picture, 5.2));
            canvas.MiddleLines(weightClass.Name, box with { X = box.X + Picture + 1.6, Width = box.Width - Picture - 1.6 }, Table.Cell, 2);
        }
    }
}
