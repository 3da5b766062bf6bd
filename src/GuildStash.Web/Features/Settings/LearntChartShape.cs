using System.Globalization;
using System.Text;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Settings;

/// <summary>Where everything stands in the picture of what the room has learnt: wraps to the right, length of 100 g upwards, both logarithmic.</summary>
public sealed class LearntChartShape
{
    public const double Width = 640;
    public const double Height = 400;

    private const double Left = 70;
    private const double Right = 12;
    private const double Top = 12;
    private const double Bottom = 62;
    private const double LeastWraps = 3;
    private const double MostWraps = 33;
    private const double LeastMetres = 25;
    private const double MostMetres = 1000;
    private const int Steps = 60;

    private static readonly double[] s_wraps = [.. Enumerable.Range(0, Steps + 1).Select(i => LeastWraps * Math.Pow(MostWraps / LeastWraps, i / (double)Steps))];

    private LearntChartShape()
    {
    }

    /// <summary>What the table alone says, a step for each class, as an SVG path.</summary>
    public string Table { get; private init; } = "";

    /// <summary>What a lot with so many wraps probably has, as learnt.</summary>
    public string Learnt { get; private init; } = "";

    /// <summary>Between low and high as learnt: nine of ten lots.</summary>
    public string Band { get; private init; } = "";

    public IReadOnlyList<(LearntPoint Lot, double X, double Y)> Points { get; private init; } = [];

    public IReadOnlyList<(int Value, double X)> WrapTicks { get; } = [.. new[] { 3, 5, 7, 10, 15, 20, 30 }.Select(value => (value, X(value)))];

    public IReadOnlyList<(int Value, double Y)> LengthTicks { get; private init; } = [];

    public static double AxisX => Left;

    public static double AxisY => Height - Bottom;

    public static LearntChartShape Of(LearntGroup group, YardageRules learnt, double metresPerUnit)
    {
        (double Wraps, YardageEstimate Yarn)[] told = [.. s_wraps.Select(wraps => (wraps, Expect(learnt, group.Group, wraps)))];
        YardageRules alone = learnt with { Learning = YardageLearning.Nothing };
        return new()
        {
            Table = Path(s_wraps.Select(wraps => (X(wraps), Y(Expect(alone, group.Group, wraps).Likely.MetresPer100Grams))), false),
            Learnt = Path(told.Select(each => (X(each.Wraps), Y(each.Yarn.Likely.MetresPer100Grams))), false),
            Band = Path(
                told.Select(each => (X(each.Wraps), Y(each.Yarn.High.MetresPer100Grams)))
                    .Concat(told.Reverse().Select(each => (X(each.Wraps), Y(each.Yarn.Low.MetresPer100Grams)))), true),
            Points = [.. group.Points.Select(lot => (lot, X(lot.WrapsPerInch), Y(lot.MetresPer100Grams)))],
            LengthTicks = [.. new[] { 30, 50, 100, 200, 300, 500, 1000 }.Select(value => (value, Y(value * metresPerUnit))).Where(tick => tick.Item2 > Top + 4)],
        };
    }

    /// <summary>Outside the picture counts as its rim.</summary>
    public static double X(double wraps) => Left + ((Width - Left - Right) * Share(wraps, LeastWraps, MostWraps));

    public static double Y(double metres) => Height - Bottom - ((Height - Top - Bottom) * Share(metres, LeastMetres, MostMetres));

    private static double Share(double value, double least, double most) => Math.Clamp(Math.Log(value / least) / Math.Log(most / least), 0, 1);

    private static YardageEstimate Expect(YardageRules learnt, FibreGroup group, double wraps) =>
        learnt.Estimate(new() { Wraps = Wraps.Create(Math.Round((decimal)wraps, 2), 1).Value, FibreGroup = group, Fibres = FibreDensity.Typical(group) })!;

    private static string Path(IEnumerable<(double X, double Y)> points, bool closed)
    {
        StringBuilder path = new();
        foreach ((double x, double y) in points)
        {
            path.Append(CultureInfo.InvariantCulture, $"{(path.Length == 0 ? 'M' : 'L')}{x:0.#} {y:0.#}");
        }

        return closed ? path.Append('Z').ToString() : path.ToString();
    }
}
