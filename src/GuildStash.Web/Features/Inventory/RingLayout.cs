using System.Globalization;

namespace GuildStash.Web.Features.Inventory;

/// <summary>A slice of a ring with its label.</summary>
/// <param name="Part">Null: several small parts together.</param>
/// <param name="Count">How many parts it stands for.</param>
/// <param name="Tenths">Share in tenths of a percent.</param>
/// <param name="Path">Outline of the slice, in the units of the drawing.</param>
/// <param name="Leader">Line from the slice to its label.</param>
/// <param name="LabelX">Where the label begins on the right side, and ends on the left one.</param>
/// <param name="LabelY">Middle of the label.</param>
/// <param name="IsRight">Which side the label stands on.</param>
public sealed record RingSlice(ChartPart? Part, int Count, int Tenths, string Path, string Leader, double LabelX, double LabelY, bool IsRight)
{
    /// <summary>Height of the label: the lines of its name and the share beneath.</summary>
    public int LabelHeight { get; } = ((Part is null ? 1 : RingLayout.Lines(Part.Name)) + 1) * RingLayout.LineHeight;
}

/// <summary>Where the slices of a ring and their labels lie: clockwise from the top in the order of the parts, labels beside it without touching each other.</summary>
public static class RingLayout
{
    public const int Width = 380;
    public const int Height = 280;
    public const int CentreX = Width / 2;
    public const int CentreY = Height / 2;
    public const int Outer = 88;
    public const int Inner = 54;

    /// <summary>Parts below 3.5 % have no room for a label of their own; two or more of them become one slice (judgement).</summary>
    public const int LeastTenths = 35;

    /// <summary>Height of a line of a label.</summary>
    public const int LineHeight = 17;

    /// <summary>Letters that fit between the ring and the edge of the drawing.</summary>
    private const int LineLength = 11;

    private const int Elbow = 10;
    private const int LabelGap = 20;

    /// <param name="parts">With values of zero or more; those of zero have no slice.</param>
    public static IReadOnlyList<RingSlice> Of(IReadOnlyList<ChartPart> parts)
    {
        double sum = parts.Sum(part => part.Value);
        if (sum <= 0)
        {
            return [];
        }

        List<(ChartPart? Part, int Count, double Value, int Tenths)> pieces = Pieces(parts);
        List<RingSlice> slices = [];
        double at = 0;
        foreach ((ChartPart? part, int count, double value, int tenths) in pieces)
        {
            double from = at / sum;
            at += value;
            slices.Add(Slice(part, count, tenths, from, pieces.Count == 1 ? 1 : at / sum));
        }

        return [.. Spread(slices.Where(slice => slice.IsRight)), .. Spread(slices.Where(slice => !slice.IsRight))];
    }

    /// <summary>How many lines of at most <see cref="LineLength"/> letters the browser will break a name into; a longer word stands alone.</summary>
    public static int Lines(string name)
    {
        int lines = 1;
        int length = 0;
        foreach (string word in name.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            bool fits = length == 0 || length + 1 + word.Length <= LineLength;
            lines += fits ? 0 : 1;
            length = fits ? length + (length == 0 ? 0 : 1) + word.Length : word.Length;
        }

        return lines;
    }

    private static List<(ChartPart? Part, int Count, double Value, int Tenths)> Pieces(IReadOnlyList<ChartPart> parts)
    {
        ChartPart[] there = [.. parts.Where(part => part.Value > 0)];
        ChartPart[] small = [.. there.Where(part => part.Tenths < LeastTenths)];
        bool together = small.Length > 1;
        List<(ChartPart?, int, double, int)> pieces = [.. there.Where(part => !together || part.Tenths >= LeastTenths).Select(part => ((ChartPart?)part, 1, part.Value, part.Tenths))];
        if (together)
        {
            pieces.Add((null, small.Length, small.Sum(part => part.Value), small.Sum(part => part.Tenths)));
        }

        return pieces;
    }

    private static RingSlice Slice(ChartPart? part, int count, int tenths, double from, double to)
    {
        double middle = (from + to) / 2;
        bool right = middle < 0.5;
        return new RingSlice(part, count, tenths, Path(from, to), "", CentreX + (right ? Outer + LabelGap : -Outer - LabelGap), Y(middle, Outer + Elbow), right)
        {
            Leader = $"{Point(middle, Outer)} {Point(middle, Outer + Elbow)}",
        };
    }

    /// <summary>Moves the labels of one side apart, from the top down and back from the bottom up.</summary>
    private static IEnumerable<RingSlice> Spread(IEnumerable<RingSlice> side)
    {
        RingSlice[] slices = [.. side.OrderBy(slice => slice.LabelY)];
        double needed = slices.Sum(slice => slice.LabelHeight);
        double squeeze = Math.Min(1, Height / Math.Max(needed, 1));
        double[] halves = [.. slices.Select(slice => slice.LabelHeight * squeeze / 2)];
        double[] ys = [.. slices.Select(slice => slice.LabelY)];
        for (int i = 0; i < ys.Length; i++)
        {
            ys[i] = Math.Max(ys[i], i == 0 ? halves[i] : ys[i - 1] + halves[i - 1] + halves[i]);
        }

        for (int i = ys.Length - 1; i >= 0; i--)
        {
            ys[i] = Math.Min(ys[i], i == ys.Length - 1 ? Height - halves[i] : ys[i + 1] - halves[i + 1] - halves[i]);
        }

        return slices.Select((slice, i) => slice with
        {
            LabelY = ys[i],
            Leader = $"{slice.Leader} {Number(slice.LabelX + (slice.IsRight ? -4 : 4))},{Number(ys[i])}",
        });
    }

    private static string Path(double from, double to)
    {
        if (to - from >= 1 - 1e-9)
        {
            return Circle(Outer, 1) + Circle(Inner, 0);
        }

        int large = to - from > 0.5 ? 1 : 0;
        return string.Create(CultureInfo.InvariantCulture,
            $"M{Point(from, Outer)}A{Outer} {Outer} 0 {large} 1 {Point(to, Outer)}L{Point(to, Inner)}A{Inner} {Inner} 0 {large} 0 {Point(from, Inner)}Z");
    }

    private static string Circle(int radius, int sweep) => string.Create(CultureInfo.InvariantCulture,
        $"M{Point(0, radius)}A{radius} {radius} 0 1 {sweep} {Point(0.5, radius)}A{radius} {radius} 0 1 {sweep} {Point(1, radius)}Z");

    private static string Point(double turn, double radius) => $"{Number(CentreX + (radius * Math.Sin(turn * 2 * Math.PI)))},{Number(Y(turn, radius))}";

    private static double Y(double turn, double radius) => CentreY - (radius * Math.Cos(turn * 2 * Math.PI));

    private static string Number(double value) => (value + 0.0).ToString("0.##", CultureInfo.InvariantCulture);
}
