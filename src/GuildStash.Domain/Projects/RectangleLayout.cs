using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>Rectangles of one size joined to a blanket.</summary>
/// <param name="Across">Pieces side by side.</param>
/// <param name="Down">Pieces one below the other.</param>
/// <param name="Width">In the unit of the pieces.</param>
/// <param name="Height">In the unit of the pieces.</param>
public sealed record RectangleLayout(int Across, int Down, double Width, double Height)
{
    public const int MostPieces = 10_000;

    /// <summary>A blanket more than twice as long as wide is a runner. Judgement.</summary>
    private const double LongestShape = 2;

    public int Pieces => Across * Down;

    /// <summary>The most nearly square blanket of that many pieces; where they make only long strips, of as many as make one up to twice as long as wide.</summary>
    /// <param name="pieces">1 to 10,000.</param>
    /// <param name="pieceWidth">More than 0, any unit.</param>
    /// <param name="pieceHeight">More than 0, the same unit.</param>
    /// <param name="seam">What each joining edge loses, both sides together; 0 when the pieces lie edge to edge.</param>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public static RectangleLayout Of(int pieces, double pieceWidth, double pieceHeight, double seam = 0)
    {
        Guard.InRange((long)pieces, 1L, MostPieces, nameof(pieces));
        Guard.InRange(pieceWidth, 1e-3, 1e4, nameof(pieceWidth));
        Guard.InRange(pieceHeight, 1e-3, 1e4, nameof(pieceHeight));
        Guard.InRange(seam, 0, Math.Min(pieceWidth, pieceHeight) / 2, nameof(seam));
        for (int used = pieces; used > 1; used--)
        {
            RectangleLayout squarest = Divisors(used).Select(across => Joined(across, used / across, pieceWidth, pieceHeight, seam)).MinBy(Longness)!;
            if (Longness(squarest) <= LongestShape)
            {
                return squarest;
            }
        }

        return Joined(1, 1, pieceWidth, pieceHeight, seam);
    }

    /// <summary>The fewest pieces that make a blanket at least that large; it may be turned by a right angle, the pieces with it.</summary>
    /// <param name="width">Of the wanted blanket, any unit.</param>
    /// <param name="height">In the same unit, as the pieces.</param>
    /// <param name="seam">As in <see cref="Of"/>.</param>
    /// <returns>Across runs along the pieces' width; null where more than <see cref="MostPieces"/> would be needed.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public static RectangleLayout? Reaching(double width, double height, double pieceWidth, double pieceHeight, double seam = 0)
    {
        Guard.InRange(width, 1e-3, 1e6, nameof(width));
        Guard.InRange(height, 1e-3, 1e6, nameof(height));
        Guard.InRange(pieceWidth, 1e-3, 1e4, nameof(pieceWidth));
        Guard.InRange(pieceHeight, 1e-3, 1e4, nameof(pieceHeight));
        Guard.InRange(seam, 0, Math.Min(pieceWidth, pieceHeight) / 2, nameof(seam));
        (double Across, double Down)[] ways =
        [
            (Needed(width, pieceWidth, seam), Needed(height, pieceHeight, seam)),
            (Needed(height, pieceWidth, seam), Needed(width, pieceHeight, seam)),
        ];
        (double across, double down) = ways.MinBy(way => way.Across * way.Down);
        return across * down <= MostPieces ? Joined((int)across, (int)down, pieceWidth, pieceHeight, seam) : null;
    }

    /// <summary>Pieces in a row that reaches the length; a row short by a rounding error reaches it.</summary>
    private static double Needed(double length, double piece, double seam) => Math.Max(1, Math.Ceiling(((length - seam) / (piece - seam)) - 1e-9));

    private static IEnumerable<int> Divisors(int number) => Enumerable.Range(1, number).Where(each => number % each == 0);

    private static RectangleLayout Joined(int across, int down, double width, double height, double seam) =>
        new(across, down, (across * width) - ((across - 1) * seam), (down * height) - ((down - 1) * seam));

    private static double Longness(RectangleLayout layout) => Math.Max(layout.Width, layout.Height) / Math.Min(layout.Width, layout.Height);
}
