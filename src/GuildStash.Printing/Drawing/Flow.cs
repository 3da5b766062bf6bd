using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing.Drawing;

/// <summary>
/// Content that runs down pages: keeps the place, opens new pages, writes the footer on each. It is as wide as A4 leaves room for on every
/// paper, and as long as the paper.
/// </summary>
internal sealed class Flow
{
    public const double Left = 14;
    public const double Width = Paper.A4Width - (2 * Left);
    public const double Right = Left + Width;

    /// <summary>Nothing but the footer stands below on A4, mm from the top.</summary>
    public const double Bottom = Paper.A4Height - BottomMargin;

    private const double BottomMargin = 17;
    private const double FooterMargin = 10;
    private const double Top = 14;
    private const double LabelWidth = 30;

    private static readonly TextStyle Small = new(8, Soft: true);

    private readonly Paper _paper;
    private readonly string _footer;
    private readonly PaperSize _size;

    /// <param name="size">A4 when null.</param>
    public Flow(Paper paper, string footer, PaperSize? size = null)
    {
        _paper = paper;
        _footer = footer;
        _size = size ?? PaperSize.A4;
        Canvas = OpenPage();
    }

    public Canvas Canvas { get; private set; }

    public PrintTexts Texts => _paper.Texts;

    /// <summary>Where the next thing begins, mm from the top.</summary>
    public double Y { get; set; }

    public double Room => _size.Height - BottomMargin - Y;

    public void NewPage() => Canvas = OpenPage();

    /// <summary>Opens a page where the rest of this one is too low.</summary>
    public void EnsureRoom(double height)
    {
        if (height > Room)
        {
            NewPage();
        }
    }

    public void Paragraph(string text, TextStyle style, int mostLines)
    {
        IReadOnlyList<string> lines = TextLayout.Wrap(text, Width, style, mostLines);
        EnsureRoom(lines.Count * style.LineHeight);
        Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => Y = Canvas.Lines(lines, Left, Y, style));
    }

    /// <summary>A caption and its text beside it; says so where the text is too long for the paper.</summary>
    public void Labelled(string caption, string text, TextStyle style, int mostLines)
    {
        double width = Width - LabelWidth;
        IReadOnlyList<string> lines = TextLayout.Wrap(text, width, style, mostLines + 1);
        bool isCut = lines.Count > mostLines;
        if (isCut)
        {
            lines = TextLayout.Wrap(text, width, style, mostLines);
        }

        EnsureRoom((lines.Count + (isCut ? 1 : 0)) * style.LineHeight);
        TextStyle soft = style with { Soft = true, Bold = false };
        Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => Canvas.Line(caption, Left, Y + style.CapHeight, LabelWidth - 2, soft));
        Canvas.Element(PdfBlockLevelElementTag.Paragraph, () =>
        {
            Y = Canvas.Lines(lines, Left + LabelWidth, Y, style);
            if (isCut)
            {
                Y = Canvas.Lines([Texts[PrintWords.TextContinues]], Left + LabelWidth, Y, soft);
            }
        });
        Y += 1.2;
    }

    /// <summary>A small caption above its value, in a grid of facts.</summary>
    public void Fact(string caption, string value, Box box, bool bold = false)
    {
        Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => Canvas.Line(caption, box.X, box.Y + Small.CapHeight, box.Width, Small));
        Canvas.Element(
            PdfBlockLevelElementTag.Paragraph,
            () => Canvas.Line(value, box.X, box.Y + 7, box.Width, new TextStyle(10.5, bold), smallestSize: 7));
    }

    /// <summary>A line to sign on, with its caption below.</summary>
    public void WritingLine(string caption, double x, double width)
    {
        Canvas.Stroke(x, Y, x + width, Y, 0.25, Ink.WritingLine);
        Canvas.Element(PdfBlockLevelElementTag.Paragraph, () => Canvas.Line(caption, x, Y + 4, width, Small));
    }

    private Canvas OpenPage()
    {
        Canvas canvas = _paper.NewPage(_size.Width, _size.Height);
        string page = Texts[PrintWords.PageOf, Texts.Number(_paper.PageNumber), Texts.Number(_paper.PageCount)];
        canvas.Artifact(() =>
        {
            canvas.Line(_footer, Left, _size.Height - FooterMargin, Width - 40, Small);
            canvas.Line(page, Right - 38, _size.Height - FooterMargin, 38, Small, Align.Right);
        });
        Y = Top;
        return canvas;
    }
}
