using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

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
    /// <param name="rules">How the guild tells length, so that the width told is that of the figures shown.</param>
    /// <param name="mass">Mass of the lot; null reckons with 100 g.</param>
    /// <param name="inYards">Whether the sentence and the sample are in yards, otherwise metres.</param>
    public static IReadOnlyList<NextMeasurement> For(YarnEvidence evidence, YardageRules rules, Mass? mass = null, bool inYards = false)
    {
        if (mass is { Milligrams: <= 0 })
        {
            return [];
        }

        Lot lot = new(mass ?? Mass.FromGrams(100), mass is null ? Mass.Zero : evidence.ScaleDivision ?? Mass.Zero, inYards);
        if (!TryFind(evidence, rules, out YardageFindings found))
        {
            return [new(NextStep.Anything, null, Length.Zero, Length.Zero, new(evidence.Texture == Texture.Smooth
                ? "Nothing says yet how long it is: count the wraps, copy the band, or weigh a measured length."
                : "Nothing says yet how long it is: copy the band, name the class, or weigh a measured length."))];
        }

        Length now = lot.HalfWidth(InRoom(found, evidence, rules));
        List<NextMeasurement> steps = [];
        steps.AddRange(Weighed(evidence, found.Length, InRoom(found, evidence, rules), now, lot));
        steps.AddRange(Counted(evidence, rules, found, now, lot));
        steps.Sort((a, b) => a.Then.CompareTo(b.Then));
        return steps;
    }

    private static IEnumerable<NextMeasurement> Weighed(YarnEvidence evidence, LengthMixture length, LengthMixture inRoom, Length now, Lot lot)
    {
        bool isWeighed = evidence.Sample is { Divisions: >= WeighedSample.FewestDivisions };
        if (isWeighed || evidence.ScaleDivision is not { Milligrams: > 0 } scale)
        {
            yield break;
        }

        // The sample is weighed in the room, moisture and all, and figures that rest on it are not corrected.
        double weighed = inRoom.Point(0);
        double low = Math.Exp(inRoom.Point(-NormalCurve.NinetyFivePercent)) * lot.Mass.Milligrams / 100_000;
        List<(int Units, double Metres, Length Then)> choices = [];
        foreach (int units in SampleLengths)
        {
            double metres = units * (lot.InYards ? Length.MetresPerYard : 1);
            double divisions = metres * 100_000 / Math.Exp(weighed) / scale.Milligrams;
            if (divisions >= WeighedSample.FewestDivisions && metres <= low)
            {
                choices.Add((units, metres, lot.HalfWidth(length.Given(weighed, DirectReading.SampleSd(TapeError, divisions, isDifference: true)))));
            }
        }

        if (choices.Count > 0)
        {
            double best = choices.Min(choice => choice.Then.Metres);
            (int units, double metres, Length then) = choices.First(choice => now.Metres - choice.Then.Metres >= NearlyAllOfTheGain * (now.Metres - best));
            if (then.Metres <= now.Metres * WorthIt)
            {
                yield return new(NextStep.Sample, Length.FromMetres(metres), now, then, new(lot.InYards ? "Weigh {0} yards: ±{1} becomes ±{2}." : "Weigh {0} m: ±{1} becomes ±{2}.", units, lot.Shown(now), lot.Shown(then)));
            }
        }
    }

    private static IEnumerable<NextMeasurement> Counted(YarnEvidence evidence, YardageRules rules, YardageFindings found, Length now, Lot lot)
    {
        if (evidence.Texture != Texture.Smooth || found.Basis > EstimateBasis.Gauge)
        {
            yield break;
        }

        double perInch = evidence.Wraps?.PerInch ?? Math.Exp(ClassPrior.CentreLog(rules.Table.Row(found.WeightClass)));
        decimal overTwo = Math.Clamp(Math.Round((decimal)perInch * 2, 1), Wraps.MinCount, Wraps.MaxCount);
        Wraps careful = Wraps.Create(overTwo, 2, [overTwo, overTwo]).Value;
        YarnEvidence counted = evidence with { Wraps = careful };
        if (TryFind(counted, rules, out YardageFindings then)
            && lot.HalfWidth(InRoom(then, counted, rules)) is { } narrowed && narrowed.Metres <= now.Metres * WorthIt)
        {
            yield return evidence.Wraps is null
                ? new(NextStep.Wraps, null, now, narrowed, new("Count the wraps over 2 in, three times: ±{0} may become ±{1}.", lot.Shown(now), lot.Shown(narrowed)))
                : new(NextStep.MoreWraps, null, now, narrowed, new("Count the wraps again over 2 in, three times: ±{0} may become ±{1}.", lot.Shown(now), lot.Shown(narrowed)));
        }
    }

    private static bool TryFind(YarnEvidence evidence, YardageRules rules, out YardageFindings found) =>
        YardageModel.TryFind(evidence, rules.Table, rules.Learning, rules.IsLearntForNames, out found);

    private static LengthMixture InRoom(in YardageFindings found, YarnEvidence evidence, YardageRules rules) =>
        rules.MoistureOf(evidence, found.Basis) is { } moisture ? found.Length.Shifted(Math.Log(moisture.Factor)) : found.Length;

    /// <summary>The lot that the width is told of, and in which unit.</summary>
    private readonly record struct Lot(Mass Mass, Mass Division, bool InYards)
    {
        public Length HalfWidth(in LengthMixture length)
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
            LengthRange range = figures.LengthOf(Mass, Division);
            return Length.FromMetres((range.High.Metres - range.Low.Metres) / 2);
        }

        public double Shown(Length length)
        {
            double value = InYards ? length.Yards : length.Metres;
            return Math.Round(value, value < 10 ? 1 : 0);
        }
    }
}
