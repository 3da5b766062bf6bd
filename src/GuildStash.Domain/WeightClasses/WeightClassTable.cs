using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.WeightClasses;

/// <summary>
/// One class in numbers.
/// </summary>
/// <param name="WeightClass">The class.</param>
/// <param name="Low">Length per mass that yarn of the class falls below about once in twenty.</param>
/// <param name="High">Length per mass that it exceeds about once in twenty.</param>
/// <param name="WrapsAbove">Wraps per inch, exclusive lower cut.</param>
/// <param name="WrapsUpTo">Wraps per inch, inclusive upper cut; infinite for the finest class.</param>
public sealed record WeightClassRow(WeightClass WeightClass, LinearDensity Low, LinearDensity High, double WrapsAbove, double WrapsUpTo)
{
    /// <summary>Geometric middle of low and high: the median, where length per mass is log-normal.</summary>
    public LinearDensity Middle => LinearDensity.FromMetresPer100Grams(Math.Sqrt(Low.MetresPer100Grams * High.MetresPer100Grams));

    /// <summary>Mean of ln(metres per 100 g).</summary>
    public double LogMean => (Math.Log(Low.MetresPer100Grams) + Math.Log(High.MetresPer100Grams)) / 2;

    /// <summary>Standard deviation of ln(metres per 100 g), with low and high as its 5 % and 95 % points.</summary>
    public double LogSd => (Math.Log(High.MetresPer100Grams) - Math.Log(Low.MetresPer100Grams)) / 2 / NormalCurve.NinetyFivePercent;
}

/// <summary>
/// Which length per mass and which wraps each class has. Wraps are of the snug family (wraps touch, nothing pulled); looser
/// tables run 1.2 to 1.4 times coarser and must never be mixed with this one, which is why every result names its version.
/// </summary>
public sealed class WeightClassTable
{
    private readonly WeightClassRow[] _rows;
    private readonly WeightClassRow[] _byWraps;

    private WeightClassTable(string version, params WeightClassRow[] rows)
    {
        Version = version;
        _rows = rows;
        _byWraps = [.. rows.Where(row => !IsPartOfMedium(row.WeightClass))];
    }

    /// <summary>
    /// Lengths per 100 g and snug wraps: common practice of the trade; see docs/sources.md. Cuts lie at x.5 and belong to the
    /// thicker class, the side that promises less yarn. Worsted and aran share their wraps with medium.
    /// </summary>
    public static WeightClassTable Default { get; } = new("snug-1",
        Yards(WeightClass.Lace, 530, 875, 22.5, double.PositiveInfinity),
        Yards(WeightClass.Fingering, 360, 530, 18.5, 22.5),
        Yards(WeightClass.Sport, 265, 437, 14.5, 18.5),
        Yards(WeightClass.Dk, 200, 273, 11.5, 14.5),
        Yards(WeightClass.Worsted, 176, 220, 8.5, 11.5),
        Yards(WeightClass.Aran, 170, 200, 8.5, 11.5),
        Yards(WeightClass.Medium, 132, 220, 8.5, 11.5),
        Yards(WeightClass.Bulky, 88, 142, 6.5, 8.5),
        Yards(WeightClass.SuperBulky, 65, 109, 4.5, 6.5),
        Yards(WeightClass.Jumbo, 30, 76, 0, 4.5));

    /// <summary>Stored with every figure that the table helped to produce.</summary>
    public string Version { get; }

    /// <summary>All rows, thinnest class first.</summary>
    public IReadOnlyList<WeightClassRow> Rows => _rows;

    /// <summary>The rows that wraps can tell apart, thinnest first; their cuts leave no hole.</summary>
    public IReadOnlyList<WeightClassRow> RowsByWraps => _byWraps;

    /// <summary>A guild's own table.</summary>
    /// <param name="version">Name that is stored with every figure, 1 to 32 characters, not that of another table.</param>
    /// <param name="rows">One row for each class, in any order.</param>
    /// <returns>The table, or a refusal for each broken rule; see <see cref="WeightClassTableRules"/>.</returns>
    public static Outcome<WeightClassTable> Create(string version, IEnumerable<WeightClassRow> rows)
    {
        WeightClassRow[] sorted = [.. rows.OrderBy(row => row.WeightClass)];
        IReadOnlyList<Refusal> refusals = WeightClassTableRules.Check(version, sorted);
        return refusals.Count > 0 ? Outcome<WeightClassTable>.Refused(refusals) : new WeightClassTable(version.Trim(), sorted);
    }

    /// <exception cref="ArgumentOutOfRangeException">Not a weight class.</exception>
    public WeightClassRow Row(WeightClass weightClass) => (uint)weightClass < (uint)_rows.Length
        ? _rows[(int)weightClass]
        : throw new ArgumentOutOfRangeException(nameof(weightClass), weightClass, "Not a weight class.");

    /// <summary>
    /// The class of a snug wrap count on smooth yarn. 8.5 to 11.5 answers <see cref="WeightClass.Medium"/>, because wraps can't
    /// tell worsted from aran.
    /// </summary>
    /// <param name="perInch">Wraps per inch, greater than 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN, zero or negative.</exception>
    public WeightClass FromWraps(double perInch)
    {
        if (!(perInch > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(perInch), perInch, "Wraps per inch must be greater than 0.");
        }

        int at = 0;
        while (perInch <= _byWraps[at].WrapsAbove)
        {
            at++;
        }

        return _byWraps[at].WeightClass;
    }

    /// <summary>
    /// The class whose middle is nearest to a known length per mass, by ratio. Worsted and aran can be told apart this way, so
    /// <see cref="WeightClass.Medium"/> is never the answer. Neighbouring ranges overlap: it is the best single name, no proof.
    /// </summary>
    public WeightClass FromDensity(LinearDensity density)
    {
        double log = Math.Log(density.MetresPer100Grams);
        WeightClassRow best = _rows[0];
        foreach (WeightClassRow row in _rows)
        {
            if (row.WeightClass != WeightClass.Medium && Math.Abs(row.LogMean - log) < Math.Abs(best.LogMean - log))
            {
                best = row;
            }
        }

        return best.WeightClass;
    }

    private static bool IsPartOfMedium(WeightClass weightClass) => weightClass is WeightClass.Worsted or WeightClass.Aran;

    private static WeightClassRow Yards(WeightClass weightClass, double low, double high, double above, double upTo) =>
        new(weightClass, LinearDensity.FromYardsPer100Grams(low), LinearDensity.FromYardsPer100Grams(high), above, upTo);
}
