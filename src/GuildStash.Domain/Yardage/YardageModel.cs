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
        LearntLine ofNames = isLearntForNames ? line : default;
        DirectEvidence direct = DirectEvidence.Of(evidence, table);
        if (evidence is not { Wraps: { } counted, Texture: Texture.Smooth })
        {
            return direct.Reading.IsKnown
                ? Found(ByReading(direct, evidence.AssertedClass, table, ofNames), out findings)
                : TryFindByName(evidence.AssertedClass, direct.Disagreements, table, ofNames, out findings);
        }

        WrapReading wraps = WrapReading.From(counted);
        WeightClass fromWraps = table.FromWraps(counted.PerInch);
        return Found(
            direct.Reading.IsKnown
                ? ByReadingAndWraps(direct, wraps, fromWraps, evidence.AssertedClass, table, line, ofNames)
                : ByWraps(wraps, fromWraps, evidence.AssertedClass, direct.Disagreements, table, line),
            out findings);
    }

    private static bool Found(in YardageFindings found, out YardageFindings findings)
    {
        findings = found;
        return true;
    }

    private static bool TryFindByName(WeightClass? named, Disagreements apart, WeightClassTable table, in LearntLine line, out YardageFindings findings)
    {
        findings = named is { } name ? new(ClassPrior.FromName(name, table, line), EstimateBasis.ClassAsserted, name, ClassNaming.Chances(name), apart) : default;
        return named is not null;
    }

    /// <summary>
    /// The key is the row of the count, unless a person's word for a neighbour tips it. A count alone gives the row's own length; beside
    /// other evidence, or where the room has learnt, the neighbouring rows count by their probability.
    /// </summary>
    private static YardageFindings ByWraps(in WrapReading wraps, WeightClass fromWraps, WeightClass? named, Disagreements apart, WeightClassTable table, in LearntLine line)
    {
        if (named is { } name && ClassNaming.Steps(name, fromWraps) > ToleratedSteps)
        {
            (named, apart) = (null, apart | Disagreements.Named);
        }

        LengthMixture length = ClassPrior.FromWraps(wraps, named, table, line);
        ClassChances chances = default;
        for (int i = 0; i < length.Count; i++)
        {
            chances.Add(length[i].WeightClass, length[i].Weight);
        }

        // The table's ranges are what yarn that people count at so many wraps was found to have, their miscounts included (judgement),
        // so that a count alone answers with its row: 9 to 11 wraps promise the floor of class 4.
        return named is null && line.Lots == 0
            ? new(ClassPrior.FromName(fromWraps, table, line), EstimateBasis.Wraps, fromWraps, chances, apart)
            : new(length, EstimateBasis.Wraps, named is null ? fromWraps : chances.Best, chances, apart);
    }

    private static YardageFindings ByReading(in DirectEvidence direct, WeightClass? named, WeightClassTable table, in LearntLine line)
    {
        DirectReading reading = direct.Reading;
        if (named is { } name)
        {
            LengthMixture prior = ClassPrior.FromName(name, table, line);
            return prior.Surprise(reading.Log, reading.Sd) < MostSurprising
                ? Told(Alone(reading), reading, null, null, table, direct.Disagreements | Disagreements.Named)
                : Told(prior.Given(reading.Log, reading.Sd), reading, name, null, table, direct.Disagreements);
        }

        return Told(Alone(reading), reading, null, null, table, direct.Disagreements);
    }

    private static YardageFindings ByReadingAndWraps(in DirectEvidence direct, in WrapReading wraps, WeightClass fromWraps, WeightClass? named, WeightClassTable table, in LearntLine line, in LearntLine ofNames)
    {
        DirectReading reading = direct.Reading;
        if ((reading.Sd < CannotTellAranSd && ClassNaming.Steps(fromWraps, table.FromDensity(reading.Density)) > ToleratedSteps)
            || ClassPrior.FromWraps(wraps, null, table, line).Surprise(reading.Log, reading.Sd) < MostSurprising)
        {
            return ByReading(direct with { Disagreements = direct.Disagreements | Disagreements.Wraps }, named, table, ofNames);
        }

        Disagreements apart = direct.Disagreements;
        if (named is { } name && ClassPrior.FromName(name, table, ofNames).Surprise(reading.Log, reading.Sd) < MostSurprising)
        {
            (named, apart) = (null, apart | Disagreements.Named);
        }

        return Told(ClassPrior.FromWraps(wraps, named, table, line).Given(reading.Log, reading.Sd), reading, named, wraps, table, apart);
    }

    private static LengthMixture Alone(in DirectReading reading) => LengthMixture.Single(new(1, reading.Log, reading.Sd, 0, default));

    /// <summary>
    /// The classes by Bayes' rule: how well the reading fits each row, times the probability by wraps and by the name a person gave.
    /// </summary>
    private static YardageFindings Told(in LengthMixture length, in DirectReading reading, WeightClass? named, WrapReading? wraps, WeightClassTable table, Disagreements apart)
    {
        bool tellsAran = reading.Sd < CannotTellAranSd || named is WeightClass.Worsted or WeightClass.Aran;
        double most = double.NegativeInfinity;
        for (WeightClass each = WeightClass.Lace; each <= WeightClass.Jumbo; each++)
        {
            most = Math.Max(most, LogFit(table.Row(each), reading));
        }

        ClassChances chances = default;
        for (WeightClass each = WeightClass.Lace; each <= WeightClass.Jumbo; each++)
        {
            if (ClassNaming.IsTold(each, tellsAran))
            {
                WeightClassRow row = table.Row(each);
                double half = tellsAran && ClassNaming.IsClassFour(each) ? 0.5 : 1;
                double prior = half * (wraps?.ChanceOf(row) ?? 1) * (named is { } name ? ClassNaming.Chance(name, each) : 1);
                chances.Add(each, prior * Math.Exp(LogFit(row, reading) - most));
            }
        }

        if (!chances.Normalise())
        {
            chances.Add(table.FromDensity(reading.Density), 1);
        }

        return new(length, reading.Basis, chances.Best, chances, apart);
    }

    private static double LogFit(WeightClassRow row, in DirectReading reading)
    {
        double variance = (row.LogSd * row.LogSd) + (reading.Sd * reading.Sd);
        double distance = reading.Log - row.LogMean;
        return -(Math.Log(variance) / 2) - (distance * distance / variance / 2);
    }
}
