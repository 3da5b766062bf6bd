using PdfSharp.Drawing;

namespace GuildStash.Printing.Drawing;

/// <summary>
/// Colours on white paper: the yarn's own are the only strong ones. The rest keeps its rank when printed in greys:
/// ink is darkest, captions next, lines lightest.
/// </summary>
internal static class Ink
{
    public static readonly XColor Text = XColor.FromArgb(0x23, 0x27, 0x2C);
    public static readonly XColor Soft = XColor.FromArgb(0x5C, 0x62, 0x69);
    public static readonly XColor Line = XColor.FromArgb(0xC4, 0xBD, 0xAF);
    public static readonly XColor WritingLine = XColor.FromArgb(0x9A, 0x94, 0x88);
    public static readonly XColor Caution = XColor.FromArgb(0x7A, 0x42, 0x07);
    public static readonly XColor CautionGround = XColor.FromArgb(0xFB, 0xF0, 0xDC);

    /// <summary>Round every swatch: 4.6:1 against white (WCAG 2 relative luminance), so that white yarn shows too.</summary>
    public static readonly XColor SwatchOutline = XColor.FromArgb(0x75, 0x75, 0x75);
    public static readonly XColor Black = XColors.Black;
    public static readonly XColor White = XColors.White;
}
