using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>An estimate's basis and what did not agree, in sentences a volunteer understands.</summary>
internal static class EstimateWords
{
    private static readonly Disagreements[] All = [.. Enum.GetValues<Disagreements>().Where(each => each != Disagreements.None)];

    /// <summary>The class, what it rests on, and what did not agree.</summary>
    public static Phrase Sentence(YarnEvidence evidence, in YardageFindings found, IReadOnlyList<Phrase> conflicts)
    {
        Phrase name = found.WeightClass.Name();
        Phrase sentence = found.Basis switch
        {
            EstimateBasis.Sample => new("{0}, from a weighed sample: {1} weigh {2}.", name, Rounded(evidence.Sample!.Length), evidence.Sample.Mass),
            EstimateBasis.Band => new("{0}, from the band: {1} to {2}.", name, evidence.Band!.Length, evidence.Band.Mass),
            EstimateBasis.Count => FromCount(name, evidence.Count!),
            EstimateBasis.Gauge => new("{0}, from the gauge: {1} stitches to 10 cm.", name, Rounded(evidence.Gauge!.StitchesPer10Cm)),
            EstimateBasis.Wraps => FromWraps(name, evidence, found),
            _ => FromName(name, evidence),
        };
        sentence = found.Basis <= EstimateBasis.Gauge && FibreBulk.Of(evidence.Fibres) is { IsKnown: true } bulk ? WithFibres(sentence, evidence, bulk) : sentence;
        // What wraps say of a name is in their own sentence already.
        bool isNameTold = found.Basis == EstimateBasis.Wraps;
        if (found.Basis > EstimateBasis.Wraps && evidence.AssertedClass is { } named && named != found.WeightClass && !found.Disagreements.HasFlag(Disagreements.Named))
        {
            sentence = new("{0} It was logged as {1}.", sentence, named.Name());
        }

        for (int i = 0; i < conflicts.Count; i++)
        {
            sentence = isNameTold && i == conflicts.Count - 1 && found.Disagreements.HasFlag(Disagreements.Named) ? sentence : new("{0} {1}", sentence, conflicts[i]);
        }

        return sentence;
    }

    /// <summary>One sentence for each piece of evidence that was left out because it did not agree.</summary>
    public static IReadOnlyList<Phrase> Conflicts(YarnEvidence evidence, WeightClassTable table, in YardageFindings found)
    {
        if (found.Disagreements == Disagreements.None)
        {
            return [];
        }

        List<Phrase> conflicts = [];
        foreach (Disagreements each in All)
        {
            if ((found.Disagreements & each) != 0)
            {
                conflicts.Add(Conflict(each, evidence, table, found.Basis));
            }
        }

        return conflicts;
    }

    /// <summary>What the fibres change, where it shows in whole percents.</summary>
    private static Phrase WithFibres(Phrase sentence, YarnEvidence evidence, in FibreBulk bulk)
    {
        double percent = Math.Round(100 * (Math.Exp(bulk.Shift) - 1));
        double density = Math.Round(FibreDensity.Of(evidence.Fibres)!.Value, 2);
        return percent switch
        {
            0 => sentence,
            < 0 => new("{0} Its fibres are denser than wool ({1} against {2} g/cm³), which takes about {3} % off.", sentence, density, FibreBulk.TablesDensity, -percent),
            _ => new("{0} Its fibres are lighter than wool ({1} against {2} g/cm³), which adds about {3} %.", sentence, density, FibreBulk.TablesDensity, percent),
        };
    }

    private static Phrase FromCount(Phrase name, CountReading count) => count.Kind == CountKind.TradeName
        ? new("{0}, from the name of its thickness: about {1} to 100 g.", name, To100Grams(count.Density))
        : new("{0}, from the count: {1} to 100 g.", name, To100Grams(count.Density));

    private static Phrase FromWraps(Phrase name, YarnEvidence evidence, in YardageFindings found)
    {
        double perInch = Rounded(evidence.Wraps!.PerInch);
        if (evidence.AssertedClass is not { } named || (named == found.WeightClass && named == WeightClass.Medium))
        {
            return new("{0}, from {1} wraps per inch.", name, perInch);
        }

        return named == found.WeightClass
            ? new("{0} as logged; {1} wraps per inch agree.", name, perInch)
            : new("{0}, from {1} wraps per inch; it was logged as {2}.", name, perInch, named.Name());
    }

    private static Phrase FromName(Phrase name, YarnEvidence evidence) => evidence.Wraps is null
        ? new("{0}, from the class alone.", name)
        : new("{0}, from the class alone: wraps don't count, because the texture is not smooth ({1}).", name, evidence.Texture.Name());

    private static Phrase Conflict(Disagreements kind, YarnEvidence evidence, WeightClassTable table, EstimateBasis basis) => kind switch
    {
        Disagreements.SampleTooLight => new("The sample weighs only {0} divisions of its scale; under {1} it is not worth its trouble: weigh a longer piece.", Rounded(evidence.Sample!.Divisions), WeighedSample.FewestDivisions),
        Disagreements.Band => new("The band says {0} to 100 g, the sample {1}: check that the band belongs to this yarn.", To100Grams(evidence.Band!.Density), To100Grams(evidence.Sample!.Density)),
        Disagreements.Count => new("The count comes to {0} to 100 g, which is far from it: check its system and its plies.", To100Grams(evidence.Count!.Density)),
        Disagreements.Gauge => new("A gauge of {0} stitches to 10 cm is far from it: check that it is of this yarn.", Rounded(evidence.Gauge!.StitchesPer10Cm)),
        Disagreements.Wraps when basis == EstimateBasis.Band => new("But {0} wraps per inch say {1}: check that the band belongs to this yarn.", Rounded(evidence.Wraps!.PerInch), table.FromWraps(evidence.Wraps.PerInch).Name()),
        Disagreements.Wraps => new("But {0} wraps per inch say {1}: count them again.", Rounded(evidence.Wraps!.PerInch), table.FromWraps(evidence.Wraps.PerInch).Name()),
        _ when basis == EstimateBasis.Band => new("{0} was named, which is far from it: check the band.", evidence.AssertedClass!.Value.Name()),
        _ => new("{0} was named, which is far from it.", evidence.AssertedClass!.Value.Name()),
    };

    private static Length To100Grams(LinearDensity density) => Length.FromMetres(Rounded(density.MetresPer100Grams));

    private static Length Rounded(Length length) => Length.FromMetres(Rounded(length.Metres));

    private static double Rounded(double value) => Math.Round(value, 1);
}
