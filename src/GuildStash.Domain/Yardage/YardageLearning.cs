using GuildStash.Domain.Fibres;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// What the room has learnt of length against wraps from lots with a band or a weighed sample and wraps, for each fibre group. A
/// value: learning makes a new one. It belongs to the table it was learnt with, and is disregarded with any other.
/// </summary>
public sealed record YardageLearning
{
    /// <summary>
    /// A lot as surprising as one in ten million is left out (about 5.3 standard deviations, a judgement): its band is another yarn's.
    /// </summary>
    private const double MostSurprising = 1e-7;

    /// <summary>How often the rows the lots lie in are settled anew; the figures stand still after the second time.</summary>
    private const int Passes = 3;

    private const double NoticeableShift = 0.01;

    private readonly FibreGroupStatistics[] _groups;
    private readonly LearntLine[] _lines;

    private YardageLearning(string tableVersion, FibreGroupStatistics[] groups)
    {
        TableVersion = tableVersion;
        _groups = groups;
        _lines = [.. groups.Select(group => new LearntLine(group))];
    }

    /// <summary>Nothing learnt: the table's answers.</summary>
    public static YardageLearning Nothing { get; } = new("", new FibreGroupStatistics[Groups]);

    public string TableVersion { get; }

    private static int Groups => Enum.GetValues<FibreGroup>().Length;

    /// <summary>What was stored.</summary>
    /// <exception cref="ArgumentException">There is not one entry for each group, or an entry is no sum over lots.</exception>
    public static YardageLearning Restore(string tableVersion, IReadOnlyDictionary<FibreGroup, FibreGroupStatistics> groups)
    {
        FibreGroupStatistics[] all = [.. Enum.GetValues<FibreGroup>().Select(group => groups.TryGetValue(group, out FibreGroupStatistics found) ? found : default)];
        return all.All(IsSum) ? new(tableVersion, all) : throw new ArgumentException("These are no sums over lots.", nameof(groups));
    }

    /// <summary>Learns from lots, in any order; those that teach nothing are passed over.</summary>
    public static YardageLearning From(IEnumerable<YarnEvidence> lots, WeightClassTable table)
    {
        YarnEvidence[] all = [.. lots.Where(Teaches)];
        YardageLearning learnt = new(table.Version, new FibreGroupStatistics[Groups]);
        foreach (YarnEvidence lot in all)
        {
            learnt = learnt.With(lot, table);
        }

        for (int pass = 1; pass < Passes && all.Length > 0; pass++)
        {
            FibreGroupStatistics[] groups = new FibreGroupStatistics[Groups];
            foreach (YarnEvidence lot in all)
            {
                learnt.AddTo(groups, lot, table);
            }

            learnt = new(table.Version, groups);
        }

        return learnt;
    }

    /// <summary>
    /// Whether lengths told by the other would differ from these so that lots are worth computing anew: by 1 % somewhere between 3 and
    /// 33 wraps, or where there are a tenth more or fewer lots, by which it is known more or less surely (judgements).
    /// </summary>
    public bool IsNoticeablyOtherThan(YardageLearning other) => TableVersion != other.TableVersion || Enum.GetValues<FibreGroup>().Any(group =>
    {
        (LearntLine a, LearntLine b) = (Line(group), other.Line(group));
        double shift = Math.Abs(a.Constant - b.Constant) + (LearntLine.FarthestFromCentre * Math.Abs(a.Slope - b.Slope));
        return shift >= NoticeableShift || Math.Abs(a.Lots - b.Lots) > Math.Min(a.Lots, b.Lots) / 10;
    });

    /// <summary>Whether a lot has what it takes: smooth, wraps, and a band or a sample.</summary>
    public static bool Teaches(YarnEvidence lot) => lot is { Wraps: not null, Texture: Texture.Smooth } && (lot.Band is not null || lot.Sample is not null);

    /// <summary>With one lot more; this one again when the lot teaches nothing.</summary>
    public YardageLearning With(YarnEvidence lot, WeightClassTable table)
    {
        if (!Teaches(lot))
        {
            return this;
        }

        YardageLearning before = TableVersion == table.Version ? this : new(table.Version, new FibreGroupStatistics[Groups]);
        FibreGroupStatistics[] groups = [.. before._groups];
        return before.AddTo(groups, lot, table) ? new(table.Version, groups) : before;
    }

    public FibreGroupStatistics Statistics(FibreGroup group) => _groups[(int)group];

    public LearntLine Line(FibreGroup group) => _lines[(int)group];

    /// <summary>The group's length against wraps as metres per 100 g = constant · wraps^exponent, for its most usual fibre; the table's own where it was learnt with another.</summary>
    public WrapsLaw Law(FibreGroup group, WeightClassTable table)
    {
        WrapsLaw law = WrapsLaw.Of(table);
        LearntLine line = Line(group);
        return TableVersion == table.Version
            ? new(law.MetresPer100GramsAtOneWrap * Math.Exp(line.Constant + FibreBulk.Of(FibreDensity.Typical(group)).Shift - (line.Slope * LearntLine.CentreLog)), law.Exponent + line.Slope)
            : law;
    }

    public bool Equals(YardageLearning? other) => other is not null && TableVersion == other.TableVersion && _groups.SequenceEqual(other._groups);

    public override int GetHashCode() => HashCode.Combine(TableVersion, _groups[0], _groups[1]);

    /// <summary>Adds a lot to the sums, spread over the rows that its wraps may mean, in the light of its length and of what is known so far.</summary>
    private bool AddTo(FibreGroupStatistics[] groups, YarnEvidence lot, WeightClassTable table)
    {
        DirectReading reading = DirectEvidence.Of(lot with { Count = null, Gauge = null }, table, default).Reading;
        FibreBulk bulk = FibreBulk.Of(lot.Fibres);
        WrapReading wraps = WrapReading.From(lot.Wraps!);
        LengthMixture prior = ClassPrior.FromWraps(wraps, lot.AssertedClass, table, Line(lot.FibreGroup), bulk);
        if (!reading.IsKnown || prior.Surprise(reading.Log, reading.Sd) < MostSurprising)
        {
            return false;
        }

        LengthMixture rows = prior.Given(reading.Log, reading.Sd);
        int at = (int)lot.FibreGroup;
        for (int i = 0; i < rows.Count; i++)
        {
            groups[at] = LearntLine.Add(groups[at], rows[i].Weight, table.Row(rows[i].WeightClass), wraps.Log, bulk, reading);
        }

        return true;
    }

    private static bool IsSum(FibreGroupStatistics data) =>
        data is { Lots: >= 0, V11: >= 0, V22: >= 0, Zz: >= 0 } && double.IsFinite(data.Lots + data.V11 + data.V12 + data.V22 + data.Z1 + data.Z2 + data.Zz)
        && data.V12 * data.V12 <= (data.V11 * data.V22) + 1e-9;
}

/// <summary>Metres per 100 g = constant · wraps^exponent.</summary>
/// <param name="MetresPer100GramsAtOneWrap">The constant.</param>
/// <param name="Exponent">The exponent.</param>
public readonly record struct WrapsLaw(double MetresPer100GramsAtOneWrap, double Exponent)
{
    /// <summary>The line of least squares through the rows' middles, on the logarithms.</summary>
    public static WrapsLaw Of(WeightClassTable table)
    {
        double n = 0, x = 0, y = 0, xx = 0, xy = 0;
        foreach (WeightClassRow row in table.RowsByWraps)
        {
            double w = ClassPrior.CentreLog(row);
            (n, x, y, xx, xy) = (n + 1, x + w, y + row.LogMean, xx + (w * w), xy + (w * row.LogMean));
        }

        double exponent = ((n * xy) - (x * y)) / ((n * xx) - (x * x));
        return new(Math.Exp((y - (exponent * x)) / n), exponent);
    }

    public double MetresPer100Grams(double wrapsPerInch) => MetresPer100GramsAtOneWrap * Math.Pow(wrapsPerInch, Exponent);
}
