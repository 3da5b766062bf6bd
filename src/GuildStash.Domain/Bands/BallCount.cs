using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>Whole sealed balls and loose yarn of the same kind, counted apart.</summary>
public sealed record BallCount
{
    public const int MaxBalls = 1_000;

    private BallCount(Band band, int wholeBalls, Mass loose) => (Band, WholeBalls, Loose) = (band, wholeBalls, loose);

    /// <summary>What the band states for one ball.</summary>
    public Band Band { get; }

    /// <summary>Sealed balls, 0 to 1,000.</summary>
    public int WholeBalls { get; }

    /// <summary>Yarn out of the band, as weighed: 0 to 25,000 g.</summary>
    public Mass Loose { get; }

    /// <summary>
    /// Metres of the sealed balls are the band's, whatever they weigh today: a dry room makes them lighter, not shorter. Only loose
    /// yarn is counted by its mass.
    /// </summary>
    public Length Length => Length.FromMetres(WholeBalls * Band.Length.Metres) + Band.Density.LengthOf(Loose);

    /// <summary>The sealed balls by the band's grams, the loose yarn as weighed.</summary>
    public Mass Mass => Mass.FromMilligrams(WholeBalls * Band.Mass.Milligrams) + Loose;

    /// <returns>The count, or a refusal with field "wholeBalls" or "looseGrams".</returns>
    public static Outcome<BallCount> Create(Band band, int wholeBalls, decimal looseGrams)
    {
        if (wholeBalls is < 0 or > MaxBalls)
        {
            return Refusal.Invalid("wholeBalls", "{0} whole balls: 0 to {1:N0} is allowed. Log more as several lots.", wholeBalls, MaxBalls);
        }

        if (looseGrams is < 0 or > MassLimits.LotMaxGrams)
        {
            return Refusal.Invalid("looseGrams", "{0} g of loose yarn: 0 to {1:N0} g is allowed. Check the number and its unit.", looseGrams, MassLimits.LotMaxGrams);
        }

        Mass loose = Mass.FromGrams(looseGrams);
        return wholeBalls == 0 && loose == Mass.Zero
            ? Refusal.Invalid("looseGrams", "No whole ball and 0 g of loose yarn: count at least one ball or weigh what is loose.")
            : new BallCount(band, wholeBalls, loose);
    }
}

/// <summary>Whether a ball with its band on may be taken as whole.</summary>
public static class SealedBall
{
    /// <summary>
    /// Judgement: wool sold at 18.25 % moisture (Regulation (EU) 1007/2011 annex IX) weighs 93 % of it at 10 % (computed: 1.10/1.1825),
    /// and a scale's rounding comes on top.
    /// </summary>
    public const double MinShare = 0.92;

    /// <summary>Judgement: a damp room and the maker's tolerance.</summary>
    public const double MaxShare = 1.08;

    /// <summary>The band's length for a sealed ball that weighs 92 to 108 % of what the band states.</summary>
    /// <param name="weighedGrams">The ball alone, without a bag.</param>
    /// <returns>The length, or a refusal with field "weighedGrams".</returns>
    public static Outcome<Length> Length(Band band, decimal weighedGrams)
    {
        decimal low = Math.Round(band.Mass.Grams * (decimal)MinShare, 1);
        decimal high = Math.Round(band.Mass.Grams * (decimal)MaxShare, 1);
        return weighedGrams >= low && weighedGrams <= high
            ? band.Length
            : Refusal.Invalid("weighedGrams", "{0} g is not a whole ball of {1} g: {2} to {3} g is allowed, since yarn weighs less in a dry room. Count it as loose yarn.", weighedGrams, band.Mass.Grams, low, high);
    }
}

/// <summary>Yarn on a cone, a tube or another core.</summary>
public static class Cone
{
    /// <summary>Yarn alone: gross − core.</summary>
    /// <param name="grossGrams">Yarn and core together, at most 25,000 g.</param>
    /// <param name="coreGrams">The empty core, 0 g or more; weigh one of the same kind.</param>
    /// <returns>More than 0 g, or a refusal with field "grossGrams" or "coreGrams".</returns>
    public static Outcome<Mass> Net(decimal grossGrams, decimal coreGrams)
    {
        Outcome<Mass> gross = MassLimits.LotMass(grossGrams, "grossGrams");
        if (!gross.IsOk)
        {
            return gross;
        }

        if (coreGrams is < 0 or > MassLimits.LotMaxGrams)
        {
            return Refusal.Invalid("coreGrams", "A core of {0} g: 0 to {1:N0} g is allowed. Weigh an empty one of the same kind.", coreGrams, MassLimits.LotMaxGrams);
        }

        Mass net = gross.Value - Mass.FromGrams(coreGrams);
        return net > Mass.Zero
            ? net
            : Refusal.Invalid("coreGrams", "A core of {0} g on a cone of {1} g leaves no yarn: the core must weigh less than the whole. Check that the two are not mixed up.", coreGrams, grossGrams);
    }
}
