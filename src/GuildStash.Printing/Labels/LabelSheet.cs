using GuildStash.Domain.Rules;
using GuildStash.Printing.Drawing;

namespace GuildStash.Printing;

/// <summary>The room of one label.</summary>
/// <param name="Label">The label's outline on the page.</param>
/// <param name="Safe">The part that printers reach and that stays clear of the cut.</param>
internal readonly record struct LabelRoom(Box Label, Box Safe);

/// <summary>Places any kind of label on sheets, or one alone on a page of its own size.</summary>
internal static class LabelSheet
{
    /// <summary>Clear of the cut, since sheets shift by about a millimetre in the feed (judgement).</summary>
    private const double CutMargin = 1.8;

    /// <summary>Office printers leave up to a sixth of an inch of the page's edge blank (common practice).</summary>
    private const double PrinterMargin = 25.4 / 6;

    private const int MostLabels = 10_000;

    /// <exception cref="ArgumentOutOfRangeException">No label, more than 10,000, or no such place to start at.</exception>
    public static byte[] Render<T>(
        string title,
        PrintTexts texts,
        IReadOnlyList<T> labels,
        LabelSheetLayout layout,
        LabelPlacement placement,
        Action<Canvas, LabelRoom, T> draw)
    {
        Guard.InRange(labels.Count, 1L, MostLabels, "number of labels");
        int first = placement.FirstPlace(layout);
        return Paper.Render(title, texts, paper =>
        {
            Canvas canvas = paper.NewPage(layout.PageWidth, layout.PageHeight);
            for (int index = 0; index < labels.Count; index++)
            {
                int place = (first + index) % layout.LabelsPerPage;
                if (place == 0 && index > 0)
                {
                    canvas = paper.NewPage(layout.PageWidth, layout.PageHeight);
                }

                draw(canvas, Room(layout, placement, place), labels[index]);
            }
        });
    }

    public static byte[] RenderSingle(string title, PrintTexts texts, LabelSize size, Action<Canvas, LabelRoom> draw) =>
        Paper.Render(title, texts, paper =>
        {
            Box label = new(0, 0, size.Width, size.Height);
            draw(paper.NewPage(size.Width, size.Height), new LabelRoom(label, label.Deflate(CutMargin, CutMargin)));
        });

    /// <summary>The same inset for all labels of a sheet: they look alike, also at the page's edge.</summary>
    private static LabelRoom Room(LabelSheetLayout layout, LabelPlacement placement, int place)
    {
        (double x, double y) = layout.Corner(place);
        Box label = new(x + placement.NudgeX, y + placement.NudgeY, layout.LabelWidth, layout.LabelHeight);
        return new LabelRoom(label, label.Deflate(
            Math.Max(CutMargin, PrinterMargin - layout.Left),
            Math.Max(CutMargin, PrinterMargin - layout.Top)));
    }
}
