using GuildStash.Printing.Fonts;
using PdfSharp.Drawing;
using PdfSharp.Pdf;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing.Drawing;

/// <summary>
/// One page, drawn in millimetres from its top left corner. Text belongs to an element of the document's structure; shapes are
/// decoration (artifacts) unless drawn as a figure.
/// </summary>
internal sealed class Canvas : IDisposable
{
    /// <summary>Exact: a point is 1/72 inch, an inch 25.4 mm.</summary>
    public const double MillimetresPerPoint = 25.4 / 72;

    private static readonly XPdfFontOptions FontOptions = new(PdfFontEncoding.Unicode);

    private readonly XGraphics _graphics;
    private readonly StructureBuilder _structure;
    private readonly Dictionary<(FontFace Face, double Size), XFont> _fonts = [];
    private bool _isInFigure;

    public Canvas(PdfPage page, StructureBuilder structure)
    {
        Width = page.Width.Millimeter;
        Height = page.Height.Millimeter;
        _graphics = XGraphics.FromPdfPage(page);
        _structure = structure;
    }

    /// <summary>Page width, mm.</summary>
    public double Width { get; }

    /// <summary>Page height, mm.</summary>
    public double Height { get; }

    /// <summary>Everything drawn inside the action belongs to one element, for instance a heading or a table cell.</summary>
    public void Element(PdfBlockLevelElementTag tag, Action draw)
    {
        _structure.BeginElement(tag);
        draw();
        _structure.End();
    }

    /// <summary>Opens an element that stays open over several calls, on this page only.</summary>
    public void Open(PdfBlockLevelElementTag tag) => _structure.BeginElement(tag);

    public void Close() => _structure.End();

    /// <summary>A picture with words for those who do not see it.</summary>
    public void Figure(string alternativeText, Box box, Action draw)
    {
        _structure.BeginElement(PdfIllustrationElementTag.Figure, alternativeText, Rectangle(box));
        _isInFigure = true;
        draw();
        _isInFigure = false;
        _structure.End();
    }

    /// <summary>Decoration that a screen reader skips, also where it contains text, such as a page number.</summary>
    public void Artifact(Action draw)
    {
        if (_isInFigure)
        {
            draw();
            return;
        }

        _structure.BeginArtifact();
        draw();
        _structure.End();
    }

    /// <summary>One line of text with its baseline at y, shrunk or cut so that it stays within the width.</summary>
    public void Line(string text, double x, double baseline, double width, TextStyle style, Align align = Align.Left, double smallestSize = 6) =>
        DrawLine(TextLayout.Fit(text, width, style, smallestSize), x, baseline, width, align);

    /// <summary>One line in the vertical middle of a box, judged by the height of capitals.</summary>
    public void Middle(string text, Box box, TextStyle style, Align align = Align.Left, double smallestSize = 6)
    {
        (string Text, TextStyle Style) fitted = TextLayout.Fit(text, box.Width, style, smallestSize);
        DrawLine(fitted, box.X, box.MiddleY + (fitted.Style.CapHeight / 2), box.Width, align);
    }

    /// <summary>Text in the vertical middle of a box: one line where it fits, else several, then smaller, cut only where that is not enough.</summary>
    public void MiddleLines(string text, Box box, TextStyle style, int mostLines, Align align = Align.Left)
    {
        (IReadOnlyList<string> lines, TextStyle fitted) = TextLayout.WrapToFit(text, box.Width, style, mostLines);
        double height = fitted.CapHeight + ((lines.Count - 1) * fitted.LineHeight);
        Lines(lines, box with { Y = box.MiddleY - (height / 2), Height = height }, fitted, align);
    }

    /// <summary>Lines that were already broken; y is the top of the first capital. Gives the y below the last line.</summary>
    public double Lines(IReadOnlyList<string> lines, double x, double y, TextStyle style) =>
        Lines(lines, new Box(x, y, 0, 0), style, Align.Left);

    /// <summary>Lines that were already broken, from the top of a box. Gives the y below the last line.</summary>
    public double Lines(IReadOnlyList<string> lines, Box box, TextStyle style, Align align)
    {
        double baseline = box.Y + style.CapHeight;
        for (int index = 0; index < lines.Count; index++)
        {
            bool isLast = index == lines.Count - 1;
            DrawLine((lines[index], style), box.X, baseline, box.Width, align, isLast ? string.Empty : " ");
            baseline += style.LineHeight;
        }

        return box.Y + (lines.Count * style.LineHeight);
    }

    public void Stroke(double x1, double y1, double x2, double y2, double thickness, XColor colour) =>
        Artifact(() => _graphics.DrawLine(Pen(thickness, colour), Point(x1), Point(y1), Point(x2), Point(y2)));

    public void Outline(Box box, double thickness, XColor colour) =>
        Artifact(() => _graphics.DrawRectangle(Pen(thickness, colour), Rectangle(box)));

    /// <summary>The outline of a closed shape through these corners.</summary>
    public void Polygon(IEnumerable<(double X, double Y)> corners, double thickness, XColor colour)
    {
        XPen pen = Pen(thickness, colour);
        pen.LineJoin = XLineJoin.Miter;
        Artifact(() => _graphics.DrawPolygon(pen, [.. corners.Select(corner => new XPoint(Point(corner.X), Point(corner.Y)))]));
    }

    public void Fill(Box box, XColor colour) =>
        Artifact(() => _graphics.DrawRectangle(new XSolidBrush(colour), Rectangle(box)));

    public void RoundedOutline(Box box, double radius, double thickness, XColor colour) =>
        Artifact(() => _graphics.DrawRoundedRectangle(
            Pen(thickness, colour), Point(box.X), Point(box.Y), Point(box.Width), Point(box.Height), Point(2 * radius), Point(2 * radius)));

    public void RoundedFill(Box box, double radius, XColor colour) =>
        Artifact(() => _graphics.DrawRoundedRectangle(
            new XSolidBrush(colour), Point(box.X), Point(box.Y), Point(box.Width), Point(box.Height), Point(2 * radius), Point(2 * radius)));

    /// <summary>A curve with round ends through two control points.</summary>
    public void Curve((double X, double Y) from, (double X, double Y) control1, (double X, double Y) control2, (double X, double Y) to, double thickness, XColor colour)
    {
        XPen pen = Pen(thickness, colour);
        pen.LineCap = XLineCap.Round;
        Artifact(() => _graphics.DrawBezier(
            pen, Point(from.X), Point(from.Y), Point(control1.X), Point(control1.Y), Point(control2.X), Point(control2.Y), Point(to.X), Point(to.Y)));
    }

    /// <summary>Many filled rectangles as one shape, so that no hairline shows between neighbours.</summary>
    public void FillAll(IEnumerable<Box> boxes, XColor colour)
    {
        XGraphicsPath path = new() { FillMode = XFillMode.Winding };
        foreach (Box box in boxes)
        {
            path.AddRectangle(Rectangle(box));
        }

        Artifact(() => _graphics.DrawPath(new XSolidBrush(colour), path));
    }

    /// <summary>Draws with everything outside the box cut off.</summary>
    public void Clipped(Box box, Action draw)
    {
        XGraphicsState state = _graphics.Save();
        _graphics.IntersectClip(Rectangle(box));
        draw();
        _graphics.Restore(state);
    }

    public void Dispose() => _graphics.Dispose();

    private static double Point(double millimetres) => millimetres / MillimetresPerPoint;

    private static XRect Rectangle(Box box) => new(Point(box.X), Point(box.Y), Point(box.Width), Point(box.Height));

    private static XPen Pen(double thickness, XColor colour) => new(colour, Point(thickness));

    /// <param name="separator">Drawn behind the line and not measured: keeps words of two lines apart for those who listen or copy.</param>
    private void DrawLine((string Text, TextStyle Style) fitted, double x, double baseline, double width, Align align, string separator = "")
    {
        double rest = align == Align.Left ? 0 : width - TextLayout.Width(fitted.Text, fitted.Style);
        double start = x + (align == Align.Centre ? rest / 2 : rest);
        XSolidBrush brush = new(fitted.Style.Soft ? Ink.Soft : Ink.Text);
        foreach (TextRun run in PrintableText.Runs(fitted.Text + separator, fitted.Style.Bold))
        {
            _graphics.DrawString(run.Text, Font(run.Face, fitted.Style.Size), brush, Point(start), Point(baseline));
            start += TextLayout.Width(run.Text, fitted.Style);
        }
    }

    private XFont Font(FontFace face, double size)
    {
        if (!_fonts.TryGetValue((face, size), out XFont? font))
        {
            font = new XFont(face.Name, size, XFontStyleEx.Regular, FontOptions);
            _fonts[(face, size)] = font;
        }

        return font;
    }
}
