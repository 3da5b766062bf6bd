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
            table.Row(FetchCells.RowHeight, Cells(flow, table, row));
        }
    }

    private static IReadOnlyList<Action<Box>> Cells(Flow flow, Table table, KitPickRow row) =>
    [
        FetchCells.Tick(flow, row.IsPicked),
        row.Site.Length == 0 ? table.Text(row.BinCode, bold: true) : table.Text($"{row.BinCode} {row.Site}", mostLines: 3, bold: true),
        table.Text(row.LotCode, bold: true),
        FetchCells.Code(flow, row.Url, row.LotCode),
        FetchCells.Colour(flow, row.Colour),
        FetchCells.WeightClass(flow, row.WeightClass),
        table.Text(flow.Texts[PrintWords.KitAndPart, row.KitNumber, row.Part], mostLines: 3),
        table.Text(flow.Texts.Grams(row.MilligramsToTake), Align.Right, bold: true),
        FetchCells.Weighed(flow),
    ];
}
