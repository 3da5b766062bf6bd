using PdfSharp.Drawing;

namespace GuildStash.Printing.Drawing;

/// <summary>Yarn in pictures: the swatch, the strand of a weight class and the strand of a length.</summary>
internal static class YarnDrawing
{
    /// <summary>
    /// Thickness of a drawn strand against one wrap of the yarn (25.4 mm / wraps per inch); half, so that bulky yarn fits a table
    /// row (judgement). The same for all classes: strands may be compared with each other.
    /// </summary>
    private const double StrandScale = 0.5;

    private const double MillimetresPerInch = 25.4;
    private const double ThinnestStrand = 0.25;

    public static void Swatch(Canvas canvas, PrintedColour colour, Box box)
    {
        if (colour.Rgb is { } rgb)
        {
            canvas.Fill(box, XColor.FromArgb(rgb.Red, rgb.Green, rgb.Blue));
        }
        else
        {
            canvas.Stroke(box.X, box.Bottom, box.Right, box.Y, 0.25, Ink.SwatchOutline);
        }

        canvas.Outline(box, 0.25, Ink.SwatchOutline);
    }

    /// <summary>A wave whose thickness is proportional to 1 / wraps, cut to the box's height.</summary>
    /// <param name="canvas">The page.</param>
    /// <param name="weightClass">Whose strand it is.</param>
    /// <param name="box">Where it lies.</param>
    /// <param name="scale">Thickness against one wrap of the yarn; the same for all strands of a paper.</param>
    public static void ClassStrand(Canvas canvas, PrintedWeightClass weightClass, Box box, double scale = StrandScale)
    {
        double thickness = Math.Clamp(scale * MillimetresPerInch / weightClass.TypicalWraps, ThinnestStrand, box.Height * 0.75);
        double sway = Math.Clamp((box.Height - thickness) / 3, 0.25, 1.05 - Math.Min(0.7, thickness * 0.3));
        double left = box.X + (thickness / 2);
        double right = box.Right - (thickness / 2);
        double width = right - left;
        canvas.Curve(
            (left, box.MiddleY + (sway * 0.3)),
            (left + (width * 0.3), box.MiddleY - (sway * 1.7)),
            (left + (width * 0.65), box.MiddleY + (sway * 1.9)),
            (right, box.MiddleY - (sway * 0.4)),
            thickness,
            Ink.Text);
    }

    /// <summary>Solid as far as the yarn surely reaches, dashes from there to the most it can be.</summary>
    public static void LengthStrand(Canvas canvas, PrintedLength length, Box box)
    {
        const double Dash = 0.55;
        const double Gap = 0.75;
        double solid = length.HighMetres > 0 ? box.Width * length.LowMetres / length.HighMetres : 0;
        double thickness = box.Height;
        if (solid > 0)
        {
            canvas.RoundedFill(new Box(box.X, box.Y, Math.Max(solid, thickness), thickness), thickness / 2, Ink.Text);
        }

        double dashHeight = thickness * 0.7;
        for (double x = box.X + solid + Gap; x + Dash <= box.Right + 1e-6; x += Dash + Gap)
        {
            canvas.Fill(new Box(x, box.MiddleY - (dashHeight / 2), Dash, dashHeight), Ink.Soft);
        }
    }
}
