using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing.Drawing;

/// <summary>A column: its heading in the reader's language and its width in mm.</summary>
internal sealed record Column(string Heading, double Width, Align Align = Align.Left);

/// <summary>A table that runs over pages and repeats its headings on each; disposing ends it.</summary>
internal sealed class Table : IDisposable
{
    public static readonly TextStyle Cell = new(8.5);

    /// <summary>For cells that often need three lines.</summary>
    public static readonly TextStyle SmallCell = new(7.5);

    private const double HeadingHeight = 8.6;
    private const double Padding = 1.2;
    private const int HeadingLines = 2;

    private static readonly TextStyle HeadingStyle = new(7.5, Soft: true);

    private readonly Flow _flow;
    private readonly IReadOnlyList<Column> _columns;

    public Table(Flow flow, IReadOnlyList<Column> columns)
    {
        _flow = flow;
        _columns = columns;
        _flow.EnsureRoom(HeadingHeight + 24);
        DrawHeadings();
    }

    /// <summary>Whole rows of this height that the page still takes, keeping some millimetres free below.</summary>
    public int RowsThatFit(double rowHeight, double keepFree = 0) => Math.Max(0, (int)Math.Floor((_flow.Room - keepFree + 1e-6) / rowHeight));

    /// <summary>A row; each cell gets its box, without the padding, in the order of the columns.</summary>
    public void Row(double height, IReadOnlyList<Action<Box>> cells)
    {
        if (height > _flow.Room)
        {
            NewPage();
        }

        Canvas canvas = _flow.Canvas;
        canvas.Element(PdfBlockLevelElementTag.TableRow, () =>
        {
            foreach ((Action<Box> cell, Box box) in cells.Zip(Boxes(height)))
            {
                canvas.Element(PdfBlockLevelElementTag.TableDataCell, () => cell(box));
            }
        });
        _flow.Y += height;
        canvas.Stroke(Flow.Left, _flow.Y, Flow.Right, _flow.Y, 0.2, Ink.Line);
    }

    /// <summary>Rows to fill by hand, with lines between the columns.</summary>
    public void BlankRows(int count, double height)
    {
        double top = _flow.Y;
        for (int row = 0; row < count; row++)
        {
            _flow.Y += height;
            _flow.Canvas.Stroke(Flow.Left, _flow.Y, Flow.Right, _flow.Y, 0.2, Ink.WritingLine);
        }

        double x = Flow.Left;
        foreach (Column column in _columns.SkipLast(1))
        {
            x += column.Width;
            _flow.Canvas.Stroke(x, top, x, _flow.Y, 0.15, Ink.Line);
        }
    }

    public void NewPage()
    {
        _flow.Canvas.Close();
        _flow.NewPage();
        DrawHeadings();
    }

    public void Dispose() => _flow.Canvas.Close();

    /// <summary>Text in a cell: on one line where it fits, else on several, cut where even they are too few.</summary>
    public Action<Box> Text(string? text, Align align = Align.Left, int mostLines = 2, bool bold = false, TextStyle? style = null) =>
        box =>
        {
            if (!string.IsNullOrWhiteSpace(text))
            {
                _flow.Canvas.MiddleLines(text, box, (style ?? Cell) with { Bold = bold }, mostLines, align);
            }
        };

    private void DrawHeadings()
    {
        Canvas canvas = _flow.Canvas;
        canvas.Open(PdfBlockLevelElementTag.Table);
        canvas.Element(PdfBlockLevelElementTag.TableRow, () =>
        {
            foreach ((Column column, Box box) in _columns.Zip(Boxes(HeadingHeight)))
            {
                IReadOnlyList<string> lines = TextLayout.Wrap(column.Heading, box.Width, HeadingStyle, HeadingLines);
                double top = box.Bottom - 1.6 - HeadingStyle.CapHeight - ((lines.Count - 1) * HeadingStyle.LineHeight);
                Box room = box with { Y = top, Height = box.Bottom - top };
                canvas.Element(PdfBlockLevelElementTag.TableHeaderCell, () => canvas.Lines(lines, room, HeadingStyle, column.Align));
            }
        });
        _flow.Y += HeadingHeight;
        canvas.Stroke(Flow.Left, _flow.Y, Flow.Right, _flow.Y, 0.4, Ink.Text);
    }

    private IEnumerable<Box> Boxes(double height)
    {
        double x = Flow.Left;
        foreach (Column column in _columns)
        {
            bool isFirst = column == _columns[0];
            double left = isFirst ? 0.4 : Padding;
            yield return new Box(x + left, _flow.Y, column.Width - left - Padding, height);
            x += column.Width;
        }
    }
}
