using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// Balls with their band on that lie in a lot: they have the band's length whatever they weigh today, so that neither a class, a gauge or a
/// sample of the loose yarn nor the moisture of the room moves it.
/// </summary>
/// <param name="Share">The part of the lot's mass that they are, more than 0 to 1.</param>
/// <param name="MetresPer100Grams">The band's length over their mass as it is in the books.</param>
public sealed record SealedPart(double Share, double MetresPer100Grams)
{
    /// <summary>
    /// The whole lot's length per mass, from that of its loose yarn: shares of mass, each with its own length. Errors of both are taken to
    /// go the same way (a judgement on the safe side: both hang on what the band says).
    /// </summary>
    public YardageEstimate Among(YardageEstimate loose)
    {
        LengthMixture length = default;
        double balls = Share * MetresPer100Grams;
        for (int i = 0; i < (Share >= 1 ? 0 : loose.Distribution.Count); i++)
        {
            LengthComponent part = loose.Distribution[i];
            double rest = (1 - Share) * Math.Exp(part.Mean);
            double all = balls + rest;
            length.Add(part with
            {
                Mean = Math.Log(all),
                Sd = ((balls * DirectReading.BandLogSd) + (rest * part.Sd)) / all,
                ClassSd = rest * part.ClassSd / all,
            });
        }

        length = Share >= 1 ? LengthMixture.Single(new(1, Math.Log(MetresPer100Grams), DirectReading.BandLogSd, 0, default)) : length;
        return loose with
        {
            Low = Point(length, -NormalCurve.NinetyFivePercent),
            Likely = Point(length, 0),
            High = Point(length, NormalCurve.NinetyFivePercent),
            Basis = Share >= 0.5 ? EstimateBasis.Band : loose.Basis,
            Distribution = length,
            Moisture = Share >= 1 ? null : loose.Moisture,
            Sentence = new Phrase("{0} {1}", loose.Sentence, new Phrase("Balls with their band on have the band's length, whatever they weigh.")),
        };
    }

    private static LinearDensity Point(in LengthMixture length, double z) => LinearDensity.FromMetresPer100Grams(Math.Exp(length.Point(z)));
}
