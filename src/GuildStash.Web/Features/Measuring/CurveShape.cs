using System.Globalization;
using System.Text;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Measuring;

/// <summary>One class of the table in the picture: a strand from its low to its high, as thick as its wraps.</summary>
/// <param name="NameX">Where its name stands.</param>
/// <param name="NameBefore">Whether the name ends there, left of the strand; else it begins there.</param>
public sealed record CurveLane(WeightClass WeightClass, double Y, double X1, double X2, double Thickness, double NameX, bool NameBefore);

/// <summary>A mark on the scale, in the person's unit.</summary>
public sealed record CurveTick(int Value, double X);

/// <summary>Where everything stands in the picture of an estimate: length in 100 g to the right on a logarithmic scale, the likelier the higher.</summary>
public sealed class CurveShape
{
    public const double Width = 360;

    private const double Side = 8;
    private const double FirstLane = 36;
    private const double LaneHeight = 22;

    /// <summary>Pixels for a millimetre of yarn, as for the strand beside a class's name.</summary>
    private const double Magnification = 1.9;

    private const double MillimetresPerInch = 25.4;
    private const double LetterWidth = 6.5;
    private const double FarthestName = 40;
    private const double MarginLog = 0.12;
    private const int Steps = 120;
    private const int StepsOfOne = 24;

    private static readonly int[] RoundFigures = [5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000];

    private readonly double _least;
    private readonly double _most;

    private CurveShape(YardageEstimate estimate, WeightClassRow[] rows)
    {
        _least = Math.Min(Log(estimate.Low.MetresPer100Grams), rows.Min(row => Log(row.Low.MetresPer100Grams))) - MarginLog;
        _most = Math.Max(Log(estimate.High.MetresPer100Grams), rows.Max(row => Log(row.High.MetresPer100Grams))) + MarginLog;
        Axis = FirstLane + (rows.Length * LaneHeight) + 2;
        Low = X(estimate.Low.MetresPer100Grams);
        Likely = X(estimate.Likely.MetresPer100Grams);
        High = X(estimate.High.MetresPer100Grams);
    }

    /// <summary>Height of the whole picture.</summary>
    public double Height => Axis + 40;

    /// <summary>Where the scale lies.</summary>
    public double Axis { get; }

    public double Low { get; }

    public double Likely { get; }

    public double High { get; }

    public IReadOnlyList<CurveLane> Lanes { get; private init; } = [];

    public IReadOnlyList<CurveTick> Ticks { get; private init; } = [];

    /// <summary>The distribution as an SVG path, closed along the scale.</summary>
    public string Area { get; private init; } = "";

    /// <param name="estimate">With its distribution.</param>
    /// <param name="table">The guild's table.</param>
    /// <param name="metresPerUnit">1 for metres, 0.9144 for yards.</param>
    /// <param name="name">The class's name as it is written, to keep it within the picture.</param>
    public static CurveShape Of(YardageEstimate estimate, WeightClassTable table, double metresPerUnit, Func<WeightClass, string> name)
    {
        bool tellsAran = estimate.Chances[WeightClass.Worsted] + estimate.Chances[WeightClass.Aran] > 0;
        WeightClassRow[] rows = tellsAran ? [.. table.Rows.Where(row => row.WeightClass != WeightClass.Medium)] : [.. table.RowsByWraps];
        CurveShape frame = new(estimate, rows);
        return new(estimate, rows)
        {
            Lanes = [.. rows.Select((row, at) => frame.Lane(row, at, name(row.WeightClass)))],
            Ticks = [.. RoundFigures.Select(value => new CurveTick(value, frame.X(value * metresPerUnit))).Where(tick => tick.X is > Side + 6 and < Width - Side - 6)],
            Area = frame.AreaOf(estimate.Distribution),
        };
    }

    /// <summary>Left edge at the least length shown, right edge at the greatest.</summary>
    public double X(double metresPer100Grams) => At(Log(metresPer100Grams));

    private double At(double log) => Side + ((Width - (2 * Side)) * (log - _least) / (_most - _least));

    private CurveLane Lane(WeightClassRow row, int at, string name)
    {
        const double Gap = 7;
        double x1 = X(row.Low.MetresPer100Grams);
        double x2 = X(row.High.MetresPer100Grams);
        double room = Gap + (name.Length * LetterWidth);
        // Beside the strand on the side away from the hill, where there is room; beyond the lines of low and high rather than across them.
        bool before = x1 > room && (((x1 + x2) / 2) <= Likely || x2 + room > Width);
        (double End, bool Before)[] places =
        [
            (before ? x1 : x2, before), (before ? x2 : x1, !before),
            (Math.Max(x2, High), false), (Math.Min(x1, Low), true),
            (Math.Max(x2, Low), false), (Math.Min(x1, High), true),
        ];
        (double end, before) = places.Where(IsFree).Append(places[0]).First();
        return new(
            row.WeightClass, FirstLane + ((at + 0.5) * LaneHeight), x1, x2,
            MillimetresPerInch / row.WeightClass.TypicalWraps() * Magnification,
            before ? end - Gap : end + Gap, before);

        bool IsFree((double End, bool Before) place)
        {
            (double from, double to) = place.Before ? (place.End - room, place.End) : (place.End, place.End + room);
            double away = place.Before ? x1 - to : from - x2;
            return from >= 0 && to <= Width && away is >= 0 and <= FarthestName && !IsAcross(Low) && !IsAcross(High);

            bool IsAcross(double mark) => mark > from && mark < to;
        }
    }

    private string AreaOf(LengthMixture length)
    {
        (double X, double Density)[] points = [.. Places(length).Select(log => (At(log), Density(length, log)))];
        double highest = points.Max(point => point.Density);
        StringBuilder path = new();
        path.Append(CultureInfo.InvariantCulture, $"M{points[0].X:0.##} {Axis:0.##}");
        foreach ((double x, double density) in points)
        {
            path.Append(CultureInfo.InvariantCulture, $"L{x:0.##} {Axis - ((Axis - FirstLane) * density / highest):0.##}");
        }

        path.Append(CultureInfo.InvariantCulture, $"L{points[^1].X:0.##} {Axis:0.##}Z");
        return path.ToString();
    }

    /// <summary>Even steps over the scale, and close ones where a possibility is narrow, so that no peak is missed.</summary>
    private IEnumerable<double> Places(LengthMixture length)
    {
        List<double> places = [.. Enumerable.Range(0, Steps + 1).Select(step => _least + ((_most - _least) * step / Steps))];
        for (int each = 0; each < length.Count; each++)
        {
            LengthComponent one = length[each];
            places.AddRange(Enumerable.Range(-StepsOfOne, (2 * StepsOfOne) + 1).Select(step => one.Mean + (one.Sd * 4 * step / StepsOfOne)));
        }

        return places.Where(log => log >= _least && log <= _most).Order();
    }

    /// <summary>Up to a factor that is the same everywhere, since only the shape is drawn.</summary>
    private static double Density(LengthMixture length, double log)
    {
        double density = 0;
        for (int each = 0; each < length.Count; each++)
        {
            LengthComponent one = length[each];
            double z = (log - one.Mean) / one.Sd;
            density += one.Weight * Math.Exp(-z * z / 2) / one.Sd;
        }

        return density;
    }

    private static double Log(double metresPer100Grams) => Math.Log(metresPer100Grams);
}
