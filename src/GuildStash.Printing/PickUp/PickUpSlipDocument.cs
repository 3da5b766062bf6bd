using GuildStash.Domain.Rules;
using GuildStash.Printing.Drawing;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing;

/// <summary>The slip with which a volunteer fetches a member's lots, bin by bin, and which the member signs. A4 upright.</summary>
public static class PickUpSlipDocument
{
    private const long HeaviestMilligrams = 1_000_000_000;
    private const double ClosingHeight = 44;

    /// <exception cref="ArgumentOutOfRangeException">No row, a mass outside 0 to 1,000 kg, or a link over 200 characters.</exception>
    public static byte[] Render(PickUpSlip slip, PrintTexts texts)
    {
        Guard.InRange(slip.Rows.Count, 1L, int.MaxValue, "number of lots on the slip");
        foreach (PickUpRow row in slip.Rows)
        {
            Guard.InRange(row.MilligramsToTake, 0L, HeaviestMilligrams, nameof(row.MilligramsToTake));
        }

        return Paper.RenderCounted($"{texts[PrintWords.PickUpSlip]} {slip.SlipNumber}", texts, paper =>
        {
            Flow flow = new(paper, $"{slip.GuildName} · {slip.SlipNumber}");
            DrawHead(flow, slip);
            DrawRows(flow, slip);
            DrawClosing(flow, slip);
        });
    }

    private static void DrawHead(Flow flow, PickUpSlip slip)
    {
        const double Column = Flow.Width / 2;
        const double Row = 10.5;
        PrintTexts texts = flow.Texts;
        TextStyle guild = new(9.5, Soft: true);
        TextStyle title = new(24, Bold: true);
        flow.Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => flow.Canvas.Line(slip.GuildName, Flow.Left, flow.Y + guild.CapHeight, Flow.Width, guild));
        flow.Canvas.Element(
            PdfBlockLevelElementTag.Heading1,
            () => flow.Canvas.Line($"{texts[PrintWords.PickUpSlip]} {slip.SlipNumber}", Flow.Left, flow.Y + 12.4, Flow.Width, title));
        flow.Y += 18;
        string project = string.IsNullOrWhiteSpace(slip.ProjectName) ? texts[PrintWords.OwnProject] : slip.ProjectName;
        string due = slip.DueOn is { } day ? texts.Date(day) : texts[PrintWords.NoDueDate];
        flow.Fact(texts[PrintWords.ForMember], slip.MemberName, new Box(Flow.Left, flow.Y, Column - 4, 10), bold: true);
        flow.Fact(texts[PrintWords.ForProject], project, new Box(Flow.Left + Column, flow.Y, Column - 4, 10));
        flow.Y += Row;
        double dueLeft = Flow.Left;
        if (slip.KeptUntil is { } kept)
        {
            flow.Fact(texts[PrintWords.KeptUntil], texts.Date(kept), new Box(Flow.Left, flow.Y, Column - 4, 10));
            dueLeft += Column;
        }

        flow.Fact(texts[PrintWords.DueBack], due, new Box(dueLeft, flow.Y, Column - 4, 10));
        flow.Y += 12;
        TextStyle heading = new(12, Bold: true);
        flow.Canvas.Element(
            PdfBlockLevelElementTag.Heading2,
            () => flow.Canvas.Line(texts[PrintWords.LotsToFetch], Flow.Left, flow.Y + heading.CapHeight, Flow.Width, heading));
        flow.Y += heading.CapHeight + 1;
    }

    private static void DrawRows(Flow flow, PickUpSlip slip)
    {
        PrintTexts texts = flow.Texts;
        using Table table = new(flow,
        [
            new(string.Empty, 9),
            new(texts[PrintWords.ColumnBin], 17),
            new(texts[PrintWords.ColumnLot], 22),
            new(string.Empty, 20),
            new(texts[PrintWords.ColumnColourName], 32),
            new(texts[PrintWords.ColumnWeightClass], 27),
            new(texts[PrintWords.ColumnAtLeast], 19, Align.Right),
            new(texts[PrintWords.ColumnTake], 17, Align.Right),
            new(texts[PrintWords.ColumnWeighed], 19, Align.Right),
        ]);
        IOrderedEnumerable<PickUpRow> inBinOrder = slip.Rows
            .OrderBy(row => string.IsNullOrWhiteSpace(row.BinCode))
            .ThenBy(row => row.BinCode, StringComparer.Ordinal)
            .ThenBy(row => row.LotCode, StringComparer.Ordinal);
        foreach (PickUpRow row in inBinOrder)
        {
            table.Row(FetchCells.RowHeight, Cells(flow, table, row));
        }
    }

    private static IReadOnlyList<Action<Box>> Cells(Flow flow, Table table, PickUpRow row) =>
    [
        FetchCells.Tick(flow),
        table.Text(string.IsNullOrWhiteSpace(row.BinCode) ? flow.Texts[PrintWords.NoBin] : row.BinCode, bold: true),
        table.Text(row.LotCode, bold: true),
        FetchCells.Code(flow, row.Url, row.LotCode),
        FetchCells.Colour(flow, row.Colour),
        FetchCells.WeightClass(flow, row.WeightClass),
        table.Text(row.LowMetres is { } low ? flow.Texts.AtLeast(low) : flow.Texts[PrintWords.LengthUnknown], Align.Right, bold: row.LowMetres is not null),
        table.Text(flow.Texts.Grams(row.MilligramsToTake), Align.Right, bold: true),
        FetchCells.Weighed(flow),
    ];

    private static void DrawClosing(Flow flow, PickUpSlip slip)
    {
        PrintTexts texts = flow.Texts;
        flow.EnsureRoom(ClosingHeight);
        flow.Y += 4.5;
        string total = texts[slip.Rows.Count == 1 ? PrintWords.TakeTotalOfOne : PrintWords.TakeTotal, texts.Grams(slip.Rows.Sum(row => row.MilligramsToTake)), texts.Number(slip.Rows.Count)];
        flow.Paragraph(total, new TextStyle(10, Bold: true), 2);
        if (!slip.IsForTrade)
        {
            flow.Paragraph(texts[PrintWords.WeightsNotForTrade], new TextStyle(7.5, Soft: true), 1);
        }

        flow.Y += 1.5;
        flow.Paragraph(texts[PrintWords.ReturnLeftovers], new TextStyle(9.5), 5);
        flow.Y += 14;
        const double Name = 58;
        const double Date = 29;
        const double Gap = 4;
        flow.WritingLine(texts[PrintWords.HandedOverBy], Flow.Left, Name);
        flow.WritingLine(texts[PrintWords.OnDate], Flow.Left + Name + Gap, Date - Gap);
        flow.WritingLine(texts[PrintWords.ReceivedBy], Flow.Right - Name - Date, Name);
        flow.WritingLine(texts[PrintWords.OnDate], Flow.Right - Date + Gap, Date - Gap);
    }
}
