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

    private static IEnumerable<int> Divisors(int number) => Enumerable.Range(1, number).Where(each => number % each == 0);

    private static RectangleLayout Joined(int across, int down, double width, double height, double seam) =>
        new(across, down, (across * width) - ((across - 1) * seam), (down * height) - ((down - 1) * seam));

    private static double Longness(RectangleLayout layout) => Math.Max(layout.Width, layout.Height) / Math.Min(layout.Width, layout.Height);
}
