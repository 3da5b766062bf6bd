using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// From evidence to length per mass. Length per mass is taken as log-normal: its low and high figures are the 5 % and 95 %
/// points, its likely figure the median. Each kind of evidence makes one reading with its own error; the most trusted reading
/// gives the figures, the others are only compared with it. Trust: band, then wraps, then the class a person named.
/// </summary>
public static class YardageEstimator
{
    /// <summary>Stored with every figure; changes whenever the arithmetic or the order of trust does.</summary>
    public const string ModelVersion = "trust-order-1";

    /// <summary>
    /// Standard deviation of log length per mass around a band's statement: 2.5 %. A judgement: makers' tolerance, moisture and
    /// wear together; no published figure was found.
    /// </summary>
    public const double BandLogSd = 0.025;

    /// <summary>Classes that differ by more than this many steps of the standard system are reported as disagreeing.</summary>
    private const int ToleratedSteps = 1;

    /// <returns>The estimate, or null when no evidence says anything about length.</returns>
    public static YardageEstimate? Estimate(YarnEvidence evidence, WeightClassTable table)
    {
        Reading? reading = FromBand(evidence, table) ?? FromWraps(evidence, table) ?? FromClass(evidence, table);
        return reading is null
            ? null
            : new(reading.WeightClass, reading.Low, reading.Likely, reading.High, reading.Basis, reading.Sentence, ModelVersion, table.Version);
    }

    /// <summary>The class comes from the length unless a person named it; a band doesn't wait for a class to be right.</summary>
    private static Reading? FromBand(YarnEvidence evidence, WeightClassTable table)
    {
        if (evidence.Band is not { } band)
        {
            return null;
        }

        WeightClass fromLength = table.FromDensity(band.Density);
        // A named class next to the band's own is believed, since the classes' ranges overlap; one further off is not.
        WeightClass weightClass = evidence.AssertedClass is { } named && Steps(named, fromLength) <= ToleratedSteps ? named : fromLength;
        double spread = Math.Exp(LogNormal.NinetyFivePercent * BandLogSd);
        double likely = band.Density.MetresPer100Grams;
        Phrase sentence = new("{0}, from the band: {1} to {2}.", weightClass.Name(), band.Length, band.Mass);
        if (evidence.AssertedClass is { } other && other != weightClass)
        {
            sentence = new("{0}, from the band: {1} to {2}; {3} was named, which is far from it: check the band.", weightClass.Name(), band.Length, band.Mass, other.Name());
        }

        return new(
            weightClass,
            LinearDensity.FromMetresPer100Grams(likely / spread),
            band.Density,
            LinearDensity.FromMetresPer100Grams(likely * spread),
            EstimateBasis.Band,
            WithWrapsCompared(sentence, fromLength, evidence, table));
    }

    /// <summary>
    /// Wraps overrule the class a person named, with one exception: they can't tell worsted from aran, so a person who named
    /// either is believed when the wraps say "one of the two".
    /// </summary>
    private static Reading? FromWraps(YarnEvidence evidence, WeightClassTable table)
    {
        if (evidence is not { Wraps: { } wraps, Texture: Texture.Smooth })
        {
            return null;
        }

        WeightClass fromWraps = table.FromWraps(wraps.PerInch);
        double perInch = Math.Round(wraps.PerInch, 1);
        if (fromWraps == WeightClass.Medium && evidence.AssertedClass is WeightClass.Worsted or WeightClass.Aran)
        {
            WeightClass named = evidence.AssertedClass.Value;
            return FromRow(table.Row(named), EstimateBasis.Wraps, new("{0} as logged; {1} wraps per inch agree.", named.Name(), perInch));
        }

        Phrase sentence = evidence.AssertedClass is { } asserted && Steps(asserted, fromWraps) > 0
            ? new("{0}, from {1} wraps per inch; it was logged as {2}.", fromWraps.Name(), perInch, asserted.Name())
            : new("{0}, from {1} wraps per inch.", fromWraps.Name(), perInch);
        return FromRow(table.Row(fromWraps), EstimateBasis.Wraps, sentence);
    }

    private static Reading? FromClass(YarnEvidence evidence, WeightClassTable table)
    {
        if (evidence.AssertedClass is not { } weightClass)
        {
            return null;
        }

        Phrase sentence = evidence.Wraps is null
            ? new("{0}, from the class alone.", weightClass.Name())
            : new("{0}, from the class alone: wraps don't count, because the texture is not smooth ({1}).", weightClass.Name(), evidence.Texture.Name());
        return FromRow(table.Row(weightClass), EstimateBasis.ClassAsserted, sentence);
    }

    private static Reading FromRow(WeightClassRow row, EstimateBasis basis, Phrase sentence) =>
        new(row.WeightClass, row.Low, row.Middle, row.High, basis, sentence);

    private static Phrase WithWrapsCompared(Phrase sentence, WeightClass fromLength, YarnEvidence evidence, WeightClassTable table)
    {
        if (evidence is not { Wraps: { } wraps, Texture: Texture.Smooth })
        {
            return sentence;
        }

        WeightClass fromWraps = table.FromWraps(wraps.PerInch);
        return Steps(fromWraps, fromLength) > ToleratedSteps
            ? new("{0} But {1} wraps per inch say {2}: check that the band belongs to this yarn.", sentence, Math.Round(wraps.PerInch, 1), fromWraps.Name())
            : sentence;
    }

    private static int Steps(WeightClass a, WeightClass b) => Math.Abs(a.StandardNumber() - b.StandardNumber());

    private sealed record Reading(WeightClass WeightClass, LinearDensity Low, LinearDensity Likely, LinearDensity High, EstimateBasis Basis, Phrase Sentence);
}
