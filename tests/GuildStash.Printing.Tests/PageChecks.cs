using GuildStash.Printing.Drawing;
using UglyToad.PdfPig.Content;

namespace GuildStash.Printing.Tests;

/// <summary>What must hold for every printed page.</summary>
internal static class PageChecks
{
    public static void AllTextIsOnThePage(PdfReading reading, double marginMillimetres)
    {
        foreach (Page page in reading.Pages)
        {
            Box paper = new Box(0, 0, PdfReading.Millimetres(page.Width), PdfReading.Millimetres(page.Height))
                .Deflate(marginMillimetres, marginMillimetres);
            foreach (Letter letter in page.Letters.Where(letter => !string.IsNullOrWhiteSpace(letter.Value)))
            {
                Box box = PdfReading.BoxOf(page, letter.BoundingBox);
                Assert.True(Contains(paper, box), $"\"{letter.Value}\" at {box} leaves {paper} on page {page.Number}.");
            }
        }
    }

    /// <summary>No letter may stand on a letter of another line.</summary>
    public static void NoTextOverlaps(PdfReading reading)
    {
        foreach (Page page in reading.Pages)
        {
            List<(Box Box, int Line, string Value)> letters = [];
            IReadOnlyList<TextLine> lines = PdfReading.Lines(page);
            for (int index = 0; index < lines.Count; index++)
            {
                letters.AddRange(lines[index].Letters
                    .Where(letter => !string.IsNullOrWhiteSpace(letter.Value))
                    .Select(letter => (PdfReading.BoxOf(page, letter.BoundingBox).Deflate(0.05, 0.05), index, letter.Value)));
            }

            foreach ((Box box, int line, string value) in letters)
            {
                (Box Box, int Line, string Value) hit = letters.FirstOrDefault(other => other.Line > line && Overlaps(box, other.Box));
                Assert.True(hit.Value is null, $"\"{value}\" of \"{lines[line].Text}\" stands on \"{hit.Value}\" of \"{lines[hit.Line].Text}\".");
            }
        }
    }

    public static bool Contains(Box outer, Box inner) =>
        inner.X >= outer.X - 0.01 && inner.Right <= outer.Right + 0.01 && inner.Y >= outer.Y - 0.01 && inner.Bottom <= outer.Bottom + 0.01;

    private static bool Overlaps(Box one, Box other) =>
        one.X < other.Right && other.X < one.Right && one.Y < other.Bottom && other.Y < one.Bottom;
}
