using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>What the model finds in the evidence; a value type without words.</summary>
/// <param name="Length">Distribution of ln(metres per 100 g).</param>
/// <param name="Basis">The most trusted evidence that was used.</param>
/// <param name="WeightClass">The class.</param>
/// <param name="Chances">Probabilities of all classes.</param>
/// <param name="Disagreements">What did not agree and was left out.</param>
public readonly record struct YardageFindings(LengthMixture Length, EstimateBasis Basis, WeightClass WeightClass, ClassChances Chances, Disagreements Disagreements);

/// <summary>
/// The arithmetic from evidence to a distribution of length per mass; docs/adr/0007-estimates.md has the formulas. Nothing here
/// allocates.
/// </summary>
public static class YardageModel
{
    /// <summary>A reading in the outermost 0.27 % of what class and wraps expect disagrees with them: 3 standard deviations either way.</summary>
    private const double MostSurprising = 0.0026997960632601883;

    /// <summary>Classes that differ by more than this many steps of the standard system disagree, where the reading is sure enough to name one.</summary>
    private const int ToleratedSteps = 1;

    /// <summary>The surest reading that still can't tell worsted from aran, whose middles are 6.5 % apart (computed).</summary>
    private const double CannotTellAranSd = 0.065;

    /// <param name="evidence">What is known.</param>
    /// <param name="table">The guild's table.</param>
    /// <param name="learning">What the room has learnt; disregarded where it was learnt with another table.</param>
    /// <param name="isLearntForNames">Whether what was learnt from wraps moves the row of a lone named class too.</param>
    /// <param name="findings">What was found.</param>
    /// <returns>False when nothing says anything about length.</returns>
    public static bool TryFind(YarnEvidence evidence, WeightClassTable table, YardageLearning learning, bool isLearntForNames, out YardageFindings findings)
    {
        LearntLine line = learning.TableVersion == table.Version ? learning.Line(evidence.FibreGroup) : default;
        FibreBulk bulk = FibreBulk.Of(evidence.Fibres);
        Thickness thickness = new(table, line, isLearntForNames ? line : default, bulk);
        DirectEvidence direct = DirectEvidence.Of(evidence, table, bulk);
        if (evidence is not { Wraps: { } counted, Texture: Texture.Smooth })
        {
            return direct.Reading.IsKnown
                ? Found(ByReading(direct, evidence.AssertedClass, thickness), out findings)
                : TryFindByName(evidence.AssertedClass, direct.Disagreements, thickness, out findings);
        }

        WrapReading wraps = WrapReading.From(counted);
        WeightClass fromWraps = table.FromWraps(counted.PerInch);
        return Found(
            direct.Reading.IsKnown
                ? ByReadingAndWraps(direct, wraps, fromWraps, evidence.AssertedClass, thickness)
                : ByWraps(wraps, fromWraps, evidence.AssertedClass, direct.Disagreements, thickness),
            out findings);
    }

    private static bool Found(in YardageFindings found, out YardageFindings findings)
    {
        findings = found;
        return true;
    }

    /// <summary>What tells length from thickness: the table, what the room has learnt beside it, and the yarn's fibres.</summary>
    private readonly record struct Thickness(WeightClassTable Table, LearntLine Line, LearntLine OfNames, FibreBulk Bulk)
    {
        public LengthMixture FromWraps(in WrapReading wraps, WeightClass? named) => ClassPrior.FromWraps(wraps, named, Table, Line, Bulk);

        public LengthMixture FromName(WeightClass named) => ClassPrior.FromName(named, Table, OfNames, Bulk);

        /// <summary>The class whose middle, made of these fibres, is nearest to a reading.</summary>
        public WeightClass Nearest(in DirectReading reading) => Table.FromDensity(LinearDensity.FromMetresPer100Grams(Math.Exp(reading.Log - Bulk.Shift)));
    }

    private static bool TryFindByName(WeightClass? named, Disagreements apart, in Thickness thickness, out YardageFindings findings)
    {
        findings = named is { } name ? new(thickness.FromName(name), EstimateBasis.ClassAsserted, name, ClassNaming.Chances(name), apart) : default;
        return named is not null;
    }

    /// <summary>
    /// The key is the row of the count, unless a person's word for a neighbour tips it. A count alone gives the row's own length, and as
    /// the room learns more and more of the rows beside it; beside other evidence all rows count by their probability.
    /// </summary>
    private static YardageFindings ByWraps(in WrapReading wraps, WeightClass fromWraps, WeightClass? named, Disagreements apart, in Thickness thickness)
    {
        if (named is { } name && ClassNaming.Steps(name, fromWraps) > ToleratedSteps)
        {
            (named, apart) = (null, apart | Disagreements.Named);
        }

        LengthMixture length = thickness.FromWraps(wraps, named);
        ClassChances chances = default;
        for (int i = 0; i < length.Count; i++)
        {
            chances.Add(length[i].WeightClass, length[i].Weight);
        }

        // The table's ranges are what yarn that people count at so many wraps was found to have, their miscounts included (judgement),
        // so that a count alone answers with its row: 9 to 11 wraps promise the floor of class 4. What was learnt speaks of true wraps.
        return named is null
            ? new(length.Towards(fromWraps, 1 - thickness.Line.TrueWrapsShare), EstimateBasis.Wraps, fromWraps, chances, apart)
            : new(length, EstimateBasis.Wraps, chances.Best, chances, apart);
    }

    private static YardageFindings ByReading(in DirectEvidence direct, WeightClass? named, in Thickness thickness)
    {
        DirectReading reading = direct.Reading;
        if (named is { } name)
        {
            LengthMixture prior = thickness.FromName(name);
            return prior.Surprise(reading.Log, reading.Sd) < MostSurprising
                ? Told(Alone(reading), reading, null, null, thickness, direct.Disagreements | Disagreements.Named)
                : Told(prior.Given(reading.Log, reading.Sd), reading, name, null, thickness, direct.Disagreements);
        }

        return Told(Alone(reading), reading, null, null, thickness, direct.Disagreements);
    }

    private static YardageFindings ByReadingAndWraps(in DirectEvidence direct, in WrapReading wraps, WeightClass fromWraps, WeightClass? named, in Thickness thickness)
    {
        DirectReading reading = direct.Reading;
        if ((reading.Sd < CannotTellAranSd && ClassNaming.Steps(fromWraps, thickness.Nearest(reading)) > ToleratedSteps)
            || thickness.FromWraps(wraps, null).Surprise(reading.Log, reading.Sd) < MostSurprising)
        {
            return ByReading(direct with { Disagreements = direct.Disagreements | Disagreements.Wraps }, named, thickness);
        }

        Disagreements apart = direct.Disagreements;
        if (named is { } name && thickness.FromName(name).Surprise(reading.Log, reading.Sd) < MostSurprising)
        {
            (named, apart) = (null, apart | Disagreements.Named);
        }

        return Told(thickness.FromWraps(wraps, named).Given(reading.Log, reading.Sd), reading, named, wraps, thickness, apart);
    }

    private static LengthMixture Alone(in DirectReading reading) => LengthMixture.Single(new(1, reading.Log, reading.Sd, 0, default));

    /// <summary>
    /// The classes by Bayes' rule: how well the reading fits each row, times the probability by wraps and by the name a person gave.
    /// </summary>
    private static YardageFindings Told(in LengthMixture length, in DirectReading reading, WeightClass? named, WrapReading? wraps, in Thickness thickness, Disagreements apart)
    {
        bool tellsAran = reading.Sd < CannotTellAranSd || named is WeightClass.Worsted or WeightClass.Aran;
        double most = double.NegativeInfinity;
        for (WeightClass each = WeightClass.Lace; each <= WeightClass.Jumbo; each++)
        {
            most = Math.Max(most, LogFit(thickness.Table.Row(each), reading, thickness.Bulk));
        }

        ClassChances chances = default;
        for (WeightClass each = WeightClass.Lace; each <= WeightClass.Jumbo; each++)
        {
            if (ClassNaming.IsTold(each, tellsAran))
            {
                WeightClassRow row = thickness.Table.Row(each);
                double half = tellsAran && ClassNaming.IsClassFour(each) ? 0.5 : 1;
                double prior = half * (wraps?.ChanceOf(row) ?? 1) * (named is { } name ? ClassNaming.Chance(name, each) : 1);
                chances.Add(each, prior * Math.Exp(LogFit(row, reading, thickness.Bulk) - most));
            }
        }

        if (!chances.Normalise())
        {
            chances.Add(thickness.Nearest(reading), 1);
        }

        return new(length, reading.Basis, chances.Best, chances, apart);
    }

    private static double LogFit(WeightClassRow row, in DirectReading reading, in FibreBulk bulk)
    {
        double ofRow = bulk.Widened(row.LogSd);
        double variance = (ofRow * ofRow) + (reading.Sd * reading.Sd);
        double distance = reading.Log - row.LogMean - bulk.Shift;
        return -(Math.Log(variance) / 2) - (distance * distance / variance / 2);
    }
}
