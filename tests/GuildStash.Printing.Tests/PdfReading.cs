using GuildStash.Printing.Drawing;
using UglyToad.PdfPig;
using UglyToad.PdfPig.Content;
using UglyToad.PdfPig.Core;
using UglyToad.PdfPig.Graphics;

namespace GuildStash.Printing.Tests;

/// <summary>A document read back: text, shapes and places in millimetres from the top left corner.</summary>
internal sealed class PdfReading : IDisposable
{
    private readonly PdfDocument _document;

    public PdfReading(byte[] bytes)
    {
        _document = PdfDocument.Open(bytes);
        Pages = [.. _document.GetPages()];
    }

    public IReadOnlyList<Page> Pages { get; }

    public PdfDocument Document => _document;

    /// <summary>All text of all pages in the order of drawing, no-break spaces as spaces.</summary>
    public string Text => string.Join("\n", Pages.Select(TextOf));

    public static string TextOf(Page page) =>
        string.Join('\n', Lines(page).Select(line => line.Text));

    /// <summary>Letters gathered by the sequence in which they were drawn: a new line where the baseline changes or the pen jumps.</summary>
    public static IReadOnlyList<TextLine> Lines(Page page)
    {
        List<TextLine> lines = [];
        foreach (Letter letter in page.Letters)
        {
            TextLine? last = lines.Count == 0 ? null : lines[^1];
            bool continues = last is not null
                && Math.Abs(last.Letters[^1].EndBaseLine.X - letter.StartBaseLine.X) < 0.6
                && Math.Abs(last.Letters[^1].EndBaseLine.Y - letter.StartBaseLine.Y) < 0.01;
            if (continues)
            {
                last!.Letters.Add(letter);
            }
            else
            {
                lines.Add(new TextLine([letter]));
            }
        }

        return lines;
    }

    /// <summary>The first line on the page that contains this text.</summary>
    public static TextLine Line(Page page, string text) =>
        Lines(page).FirstOrDefault(line => line.Text.Contains(text, StringComparison.Ordinal))
        ?? throw new InvalidOperationException($"\"{text}\" is not on page {page.Number}: {TextOf(page)}");

    public static Box BoxOf(Page page, PdfRectangle rectangle) => new(
        Millimetres(rectangle.Left), Millimetres(page.Height - rectangle.Top), Millimetres(rectangle.Width), Millimetres(rectangle.Height));

    /// <summary>Bounding boxes of all shapes that are drawn, mm.</summary>
    public static IReadOnlyList<Box> Shapes(Page page) => [.. Paths(page).Select(path => BoxOf(page, path.GetBoundingRectangle()!.Value))];

    public static IEnumerable<PdfPath> Paths(Page page) =>
        page.Paths.Where(path => !path.IsClipping && (path.IsFilled || path.IsStroked) && path.GetBoundingRectangle() is not null);

    /// <summary>Corners of a path of straight lines in the order in which it was drawn, mm.</summary>
    public static IReadOnlyList<(double X, double Y)> Corners(Page page, PdfPath path) =>
    [
        .. path.SelectMany(part => part.Commands).Select(command => command switch
        {
            PdfSubpath.Move move => (PdfPoint?)move.Location,
            PdfSubpath.Line line => line.To,
            _ => null,
        }).OfType<PdfPoint>().Select(at => (Millimetres(at.X), Millimetres(page.Height - at.Y))),
    ];

    public static double Millimetres(double points) => points * Canvas.MillimetresPerPoint;

    public void Dispose() => _document.Dispose();
}

/// <summary>Letters drawn one after the other on one baseline.</summary>
internal sealed record TextLine(List<Letter> Letters)
{
    public string Text => string.Concat(Letters.Select(letter => letter.Value)).Replace('\u00A0', ' ').TrimEnd();

    public double Left => PdfReading.Millimetres(Letters[0].StartBaseLine.X);

    public double Right => PdfReading.Millimetres(Letters[^1].EndBaseLine.X);

    public double BaselineFromTop(Page page) => PdfReading.Millimetres(page.Height - Letters[0].StartBaseLine.Y);
}
