namespace GuildStash.Printing;

/// <summary>
/// Geometry of a sheet of self-adhesive labels, in millimetres from the top left corner of the page. Sources: sizes as sold,
/// from memory; every layout's sum of margins, labels and gaps is checked against the page by a test.
/// </summary>
/// <param name="Key">Stable key for settings and links, for instance "a4-63x38-3x7".</param>
/// <param name="Name">The geometry in words that need no translation.</param>
/// <param name="PageWidth">Page width, mm.</param>
/// <param name="PageHeight">Page height, mm.</param>
/// <param name="LabelWidth">Width of one label, mm.</param>
/// <param name="LabelHeight">Height of one label, mm.</param>
/// <param name="Columns">Labels side by side.</param>
/// <param name="Rows">Labels one above the other.</param>
/// <param name="Left">Left page edge to the first label, mm.</param>
/// <param name="Top">Top page edge to the first label, mm.</param>
/// <param name="GapX">Between two labels side by side, mm.</param>
/// <param name="GapY">Between two labels one above the other, mm.</param>
public sealed record LabelSheetLayout(
    string Key,
    string Name,
    double PageWidth,
    double PageHeight,
    double LabelWidth,
    double LabelHeight,
    int Columns,
    int Rows,
    double Left,
    double Top,
    double GapX,
    double GapY)
{
    private const double Inch = 25.4;
    private const double A4Width = 210;
    private const double A4Height = 297;

    public static LabelSheetLayout A4Of21 { get; } =
        new("a4-63x38-3x7", "A4 · 63.5 × 38.1 mm · 3 × 7", A4Width, A4Height, 63.5, 38.1, 3, 7, 7.25, 15.15, 2.5, 0);

    public static LabelSheetLayout A4Of14 { get; } =
        new("a4-99x38-2x7", "A4 · 99.1 × 38.1 mm · 2 × 7", A4Width, A4Height, 99.1, 38.1, 2, 7, 4.65, 15.15, 2.5, 0);

    public static LabelSheetLayout A4Of8 { get; } =
        new("a4-99x68-2x4", "A4 · 99.1 × 67.7 mm · 2 × 4", A4Width, A4Height, 99.1, 67.7, 2, 4, 4.65, 13.1, 2.5, 0);

    public static LabelSheetLayout A4Of24 { get; } =
        new("a4-70x37-3x8", "A4 · 70 × 37 mm · 3 × 8", A4Width, A4Height, 70, 37, 3, 8, 0, 0.5, 0, 0);

    public static LabelSheetLayout LetterOf30 { get; } =
        new("letter-2.625x1-3x10", "Letter · 2.625 × 1 in · 3 × 10", 8.5 * Inch, 11 * Inch, 2.625 * Inch, Inch, 3, 10, 0.1875 * Inch, 0.5 * Inch, 0.125 * Inch, 0);

    public static LabelSheetLayout LetterOf10 { get; } =
        new("letter-4x2-2x5", "Letter · 4 × 2 in · 2 × 5", 8.5 * Inch, 11 * Inch, 4 * Inch, 2 * Inch, 2, 5, 0.15625 * Inch, 0.5 * Inch, 0.1875 * Inch, 0);

    /// <summary>The layouts that the guild can choose from; the first is the default.</summary>
    public static IReadOnlyList<LabelSheetLayout> All { get; } = [A4Of21, A4Of14, A4Of8, A4Of24, LetterOf30, LetterOf10];

    public int LabelsPerPage => Columns * Rows;

    /// <summary>The layout with this key, or null.</summary>
    public static LabelSheetLayout? Find(string key) => All.FirstOrDefault(layout => layout.Key == key);

    /// <summary>Top left corner of a place on the sheet, mm; places run along the rows from 0.</summary>
    internal (double X, double Y) Corner(int place) =>
        (Left + (place % Columns * (LabelWidth + GapX)), Top + (place / Columns * (LabelHeight + GapY)));
}
