using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>What could be measured.</summary>
public enum NextStep
{
    /// <summary>Nothing says anything about length yet: any evidence is welcome.</summary>
    Anything = 0,

    /// <summary>Weigh a measured length.</summary>
    Sample = 1,

    /// <summary>Count the wraps.</summary>
    Wraps = 2,

    /// <summary>Count the wraps over a longer stretch, several times.</summary>
    MoreWraps = 3,
}

/// <summary>A measurement worth its trouble.</summary>
/// <param name="Step">What to do.</param>
/// <param name="Sample">Length to weigh, for a sample.</param>
/// <param name="Now">Half the distance from low to high, as it is; zero when there is no estimate yet.</param>
/// <param name="Then">The same as it is to be expected afterwards.</param>
/// <param name="Sentence">The advice, for instance "Weigh 40 yards: ±22 becomes ±12."</param>
public sealed record NextMeasurement(NextStep Step, Length? Sample, Length Now, Length Then, Phrase Sentence)
{
    /// <summary>A measurement must take at least a seventh off the width, or it is not worth its trouble (judgement).</summary>
    private const double WorthIt = 0.86;

    /// <summary>The shortest sample that gains at least four fifths of what the best one would is advised (judgement).</summary>
    private const double NearlyAllOfTheGain = 0.8;

    private const double TapeError = 0.01;

    private static readonly int[] SampleLengths = [5, 10, 20, 40, 80, 160];

    /// <summary>What to measure next, the most useful first; empty where nothing would help.</summary>
    /// <param name="evidence">What is known; its scale division is that of the scale at hand, without which no sample is advised.</param>
    /// <param name="table">The guild's table.</param>
    /// <param name="mass">Mass of the lot; null reckons with 100 g.</param>
    /// <param name="inYards">Whether the sentence and the sample are in yards, otherwise metres.</param>
    /// <param name="learning">What the room has learnt.</param>
    public static IReadOnlyList<NextMeasurement> For(YarnEvidence evidence, WeightClassTable table, Mass? mass = null, bool inYards = false, YardageLearning? learning = null)
    {
        if (mass is { Milligrams: <= 0 })
        {
            return [];
        }

        Mass lot = mass ?? Mass.FromGrams(100);
        Mass division = mass is null ? Mass.Zero : evidence.ScaleDivision ?? Mass.Zero;
        if (!YardageModel.TryFind(evidence, table, learning ?? YardageLearning.Nothing, false, out YardageFindings found))
        {
            return [new(NextStep.Anything, null, Length.Zero, Length.Zero, new(evidence.Texture == Texture.Smooth
                ? "Nothing says yet how long it is: count the wraps, copy the band, or weigh a measured length."
                : "Nothing says yet how long it is: copy the band, name the class, or weigh a measured length."))];
        }

        Length now = HalfWidth(found.Length, lot, division);
        List<NextMeasurement> steps = [];
        steps.AddRange(Weighed(evidence, found.Length, now, lot, division, inYards));
        steps.AddRange(Counted(evidence, table, learning ?? YardageLearning.Nothing, found, now, lot, division, inYards));
        steps.Sort((a, b) => a.Then.CompareTo(b.Then));
        return steps;
    }

    private static IEnumerable<NextMeasurement> Weighed(YarnEvidence evidence, LengthMixture length, Length now, Mass lot, Mass division, bool inYards)
    {
        bool isWeighed = evidence.Sample is { Divisions: >= WeighedSample.FewestDivisions };
        if (isWeighed || evidence.ScaleDivision is not { Milligrams: > 0 } scale)
        {
            yield break;
        }

        double log = length.Point(0);
        double low = Math.Exp(length.Point(-NormalCurve.NinetyFivePercent)) * lot.Milligrams / 100_000;
        List<(int Units, double Metres, Length Then)> choices = [];
        foreach (int units in SampleLengths)
        {
            double metres = units * (inYards ? Length.MetresPerYard : 1);
            double divisions = metres * 100_000 / Math.Exp(log) / scale.Milligrams;
            if (divisions >= WeighedSample.FewestDivisions && metres <= low)
            {
                choices.Add((units, metres, HalfWidth(length.Given(log, DirectReading.SampleSd(TapeError, divisions, isDifference: false)), lot, division)));
            }
        }

        if (choices.Count > 0)
        {
            double best = choices.Min(choice => choice.Then.Metres);
            (int units, double metres, Length then) = choices.First(choice => now.Metres - choice.Then.Metres >= NearlyAllOfTheGain * (now.Metres - best));
            if (then.Metres <= now.Metres * WorthIt)
            {
                yield return new(NextStep.Sample, Length.FromMetres(metres), now, then, new(inYards ? "Weigh {0} yards: ±{1} becomes ±{2}." : "Weigh {0} m: ±{1} becomes ±{2}.", units, Shown(now, inYards), Shown(then, inYards)));
            }
        }
    }

    private static IEnumerable<NextMeasurement> Counted(YarnEvidence evidence, WeightClassTable table, YardageLearning learning, YardageFindings found, Length now, Mass lot, Mass division, bool inYards)
    {
        if (evidence.Texture != Texture.Smooth || found.Basis > EstimateBasis.Gauge)
        {
            yield break;
        }

        double perInch = evidence.Wraps?.PerInch ?? Math.Exp(ClassPrior.CentreLog(table.Row(found.WeightClass)));
        decimal overTwo = Math.Clamp(Math.Round((decimal)perInch * 2, 1), Wraps.MinCount, Wraps.MaxCount);
        Wraps careful = Wraps.Create(overTwo, 2, [overTwo, overTwo]).Value;
        if (YardageModel.TryFind(evidence with { Wraps = careful }, table, learning, false, out YardageFindings then)
            && HalfWidth(then.Length, lot, division) is { } narrowed && narrowed.Metres <= now.Metres * WorthIt)
        {
            yield return evidence.Wraps is null
                ? new(NextStep.Wraps, null, now, narrowed, new("Count the wraps over 2 in, three times: ±{0} may become ±{1}.", Shown(now, inYards), Shown(narrowed, inYards)))
                : new(NextStep.MoreWraps, null, now, narrowed, new("Count the wraps again over 2 in, three times: ±{0} may become ±{1}.", Shown(now, inYards), Shown(narrowed, inYards)));
        }
    }

    private static Length HalfWidth(in LengthMixture length, Mass lot, Mass division)
    {
        YardageEstimate figures = new(
            null,
            YardageEstimator.At(length.Point(-NormalCurve.NinetyFivePercent)),
            YardageEstimator.At(length.Point(0)),
            YardageEstimator.At(length.Point(NormalCurve.NinetyFivePercent)),
            EstimateBasis.None,
            new(""),
            "",
            "");
        LengthRange range = figures.LengthOf(lot, division);
        return Length.FromMetres((range.High.Metres - range.Low.Metres) / 2);
    }

    private static double Shown(Length length, bool inYards)
    {
        double value = inYards ? length.Yards : length.Metres;
        return Math.Round(value, value < 10 ? 1 : 0);
    }
}
