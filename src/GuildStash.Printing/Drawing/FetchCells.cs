namespace GuildStash.Printing.Drawing;

/// <summary>
/// Cells of a line with which yarn is fetched from its bin. The pick-up slip and the list of kits draw the same ones. They ask the flow
/// for its canvas when they are drawn: a line may begin another page.
/// </summary>
internal static class FetchCells
{
    /// <summary>Height of a line, mm; what the QR code of a lot needs with its quiet zone.</summary>
    public const double RowHeight = 17;

    private const double QrModule = 0.5;
    private const double TickSide = 5.2;

    /// <summary>A box to tick, ticked where the yarn lies on the table already.</summary>
    public static Action<Box> Tick(Flow flow, bool isTicked = false) => box =>
    {
        Canvas canvas = flow.Canvas;
        Box tick = new(box.X, box.MiddleY - (TickSide / 2), TickSide, TickSide);
        canvas.Outline(tick, 0.35, Ink.Text);
        if (isTicked)
        {
            canvas.Stroke(tick.X + 1, tick.MiddleY, tick.X + 2.2, tick.Bottom - 1.1, 0.6, Ink.Text);
            canvas.Stroke(tick.X + 2.2, tick.Bottom - 1.1, tick.Right - 0.9, tick.Y + 1, 0.6, Ink.Text);
        }
    };

    /// <summary>The code that leads to the lot's page; nothing where there is no link.</summary>
    public static Action<Box> Code(Flow flow, string? url, string lotCode) => box =>
    {
        if (string.IsNullOrWhiteSpace(url))
        {
            return;
        }

        QrSymbol code = QrSymbol.Of(url);
        double module = Math.Min(QrModule, Math.Min(RowHeight / code.ModulesWithQuietZone, (box.Width + 2) / code.ModulesWithQuietZone));
        double side = code.Modules * module;
        code.Draw(flow.Canvas, box.X + ((box.Width - side) / 2), box.MiddleY - (side / 2), module, flow.Texts[PrintWords.CodeFor, lotCode]);
    };

    /// <summary>The colour's swatch and its name.</summary>
    public static Action<Box> Colour(Flow flow, PrintedColour colour) => box =>
    {
        const double Side = 6;
        YarnDrawing.Swatch(flow.Canvas, colour, new Box(box.X, box.MiddleY - (Side / 2), Side, Side));
        flow.Canvas.MiddleLines(colour.Name, box with { X = box.X + Side + 1.8, Width = box.Width - Side - 1.8 }, Table.Cell, 3);
    };

    /// <summary>The weight class's strand and its name; nothing where the class is not known.</summary>
    public static Action<Box> WeightClass(Flow flow, PrintedWeightClass? weightClass) => box =>
    {
        const double Picture = 8;
        if (weightClass is not null)
        {
            YarnDrawing.ClassStrand(flow.Canvas, weightClass, new Box(box.X, box.MiddleY - 2.6, Picture, 5.2));
            flow.Canvas.MiddleLines(weightClass.Name, box with { X = box.X + Picture + 1.6, Width = box.Width - Picture - 1.6 }, Table.Cell, 2);
        }
    };

    /// <summary>A line to write the weight on.</summary>
    public static Action<Box> Weighed(Flow flow) => box => flow.Canvas.Stroke(box.X, box.MiddleY + 2.6, box.Right, box.MiddleY + 2.6, 0.25, Ink.WritingLine);
}
