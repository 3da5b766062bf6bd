using GuildStash.Domain.Quantities;

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
}

/// <summary>
/// Which length per mass and which wraps each class has. Wraps are of the snug family (wraps touch, nothing pulled); looser
/// tables run 1.2 to 1.4 times coarser and must never be mixed with this one, which is why every result names its version.
/// </summary>
public sealed class WeightClassTable
{
    private WeightClassTable(string version, params WeightClassRow[] rows) => (Version, Rows) = (version, rows);

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
    public IReadOnlyList<WeightClassRow> Rows { get; }

    /// <exception cref="ArgumentOutOfRangeException">Not a weight class.</exception>
    public WeightClassRow Row(WeightClass weightClass) => Rows.FirstOrDefault(row => row.WeightClass == weightClass)
        ?? throw new ArgumentOutOfRangeException(nameof(weightClass), weightClass, "Not a weight class.");

    /// <summary>
    /// The class of a snug wrap count on smooth yarn. 8.5 to 11.5 answers <see cref="WeightClass.Medium"/>, because wraps can't
    /// tell worsted from aran.
    /// </summary>
    /// <param name="perInch">Wraps per inch, greater than 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN, zero or negative.</exception>
    public WeightClass FromWraps(double perInch) => perInch > 0
        ? Rows.Single(row => !IsPartOfMedium(row.WeightClass) && row.WrapsAbove < perInch && perInch <= row.WrapsUpTo).WeightClass
        : throw new ArgumentOutOfRangeException(nameof(perInch), perInch, "Wraps per inch must be greater than 0.");

    /// <summary>
    /// The class whose middle is nearest to a known length per mass, by ratio. Worsted and aran can be told apart this way, so
    /// <see cref="WeightClass.Medium"/> is never the answer. Neighbouring ranges overlap: it is the best single name, no proof.
    /// </summary>
    public WeightClass FromDensity(LinearDensity density) => Rows
        .Where(row => row.WeightClass != WeightClass.Medium)
        .MinBy(row => Math.Abs(Math.Log(row.Middle.MetresPer100Grams / density.MetresPer100Grams)))!.WeightClass;

    private static bool IsPartOfMedium(WeightClass weightClass) => weightClass is WeightClass.Worsted or WeightClass.Aran;

    private static WeightClassRow Yards(WeightClass weightClass, double low, double high, double above, double upTo) =>
        new(weightClass, LinearDensity.FromYardsPer100Grams(low), LinearDensity.FromYardsPer100Grams(high), above, upTo);
}
