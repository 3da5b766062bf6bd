using GuildStash.Data.Stock;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Sorting;

/// <summary>
/// Balls with their band on in a lot. They are taken into the books by the band's grams; a weighing corrects the grams and leaves their
/// length, as long as what is on the scale fits that many balls.
/// </summary>
internal static class SealedInLot
{
    private const double MgPer100g = 100_000;

    /// <summary>At logging: so many balls by the band, and the rest of the mass is loose.</summary>
    public static void Count(Lot lot, int? balls, Mass? mass)
    {
        bool any = balls is > 0 && mass is not null && lot.BandMg is not null;
        lot.SealedBalls = any ? balls : null;
        lot.SealedMg = any ? balls * lot.BandMg : null;
        lot.LooseMg = any ? mass!.Value.Milligrams - lot.SealedMg : null;
    }

    public static void Forget(Lot lot) => (lot.SealedBalls, lot.SealedMg, lot.LooseMg) = (null, null, null);

    /// <summary>The balls as evidence; null for none. What left the lot took its share of both, as far as anybody knows.</summary>
    public static SealedPart? Part(Lot lot)
    {
        if (lot is not { SealedBalls: > 0 and { } balls, BandMetres: { } metres, BandMg: { } bandMg })
        {
            return null;
        }

        long sealedMg = lot.SealedMg ?? (balls * bandMg);
        return new(sealedMg / (double)(sealedMg + LooseMg(lot, sealedMg)), balls * metres * MgPer100g / sealedMg);
    }

    /// <summary>The same of what is being entered.</summary>
    public static SealedPart? Part(int? balls, Band? band, decimal? looseGrams)
    {
        if (balls is not (> 0 and <= BallCount.MaxBalls) || band is null || BallCount.Create(band, balls.Value, Math.Max(0, looseGrams ?? 0)) is not { IsOk: true } count)
        {
            return null;
        }

        return new(balls.Value * band.Mass.Milligrams / (double)count.Value.Mass.Milligrams, band.Density.MetresPer100Grams);
    }

    /// <summary>How many of them are probably there of a mass of the lot: some may have been handed out since they were counted.</summary>
    public static int Expected(Lot lot, long mg) =>
        lot is { SealedBalls: > 0 and { } balls, BandMg: { } bandMg } && (lot.SealedMg ?? (balls * bandMg)) is var sealedMg
            ? (int)Math.Round(Math.Min(1, mg / (double)(sealedMg + LooseMg(lot, sealedMg))) * balls)
            : 0;

    /// <summary>
    /// After a weighing: what is missing is taken off the loose yarn first, which promises the less; the balls take the rest, and each must
    /// then weigh 92 to 108 % of what its band says. A count that was said leaves what is over as loose.
    /// </summary>
    /// <param name="said">Whole balls that are there; null: as many as are expected.</param>
    /// <param name="bookMg">What the books had of it.</param>
    /// <param name="shownMg">What the scale shows.</param>
    /// <returns>The balls that are there and their grams, or a refusal at "wholeBalls" that asks for their number. The lot is not changed.</returns>
    public static Outcome<SealedCount> Weighed(Lot lot, int? said, long bookMg, long shownMg)
    {
        if (said is < 0 or > BallCount.MaxBalls)
        {
            return Refusal.Invalid("wholeBalls", "{0} whole balls: 0 to {1:N0} is allowed.", said, BallCount.MaxBalls);
        }

        int balls = said ?? Expected(lot, bookMg);
        if (balls == 0)
        {
            return new SealedCount(0, 0, shownMg);
        }

        if (lot is not { BandMetres: { } metres, BandMg: { } bandMg } || Band.Create((decimal)metres, bandMg / 1000m) is not { IsOk: true, Value: { } band })
        {
            return Refusal.Invalid("wholeBalls", "Whole balls count by their band, and this lot has none noted. Note the band first, or enter 0 whole balls.");
        }

        long byBand = balls * bandMg;
        long loose = Math.Min(LooseAmong(lot, bookMg), Math.Max(0, shownMg - byBand));
        if (said is not null && !Fits(band, balls, shownMg - loose))
        {
            loose = Math.Max(0, shownMg - byBand);
        }

        if (!Fits(band, balls, shownMg - loose))
        {
            return Refusal.Invalid("wholeBalls", "{0} can't be {1} whole balls of {2}: one weighs {3} to {4}, since yarn weighs less in a dry room. Say how many still have their band on; the rest counts as loose, by its grams.",
                Mass.FromMilligrams(shownMg), balls, band.Mass, Mass.FromMilligrams((long)(bandMg * SealedBall.MinShare)), Mass.FromMilligrams((long)(bandMg * SealedBall.MaxShare)));
        }

        return new SealedCount(balls, shownMg - loose, loose);
    }

    /// <summary>Notes what a weighing or a count found.</summary>
    public static void Note(Lot lot, SealedCount found) =>
        (lot.SealedBalls, lot.SealedMg, lot.LooseMg) = found.Balls > 0 ? (found.Balls, found.Mg, found.LooseMg) : ((int?)null, (long?)null, (long?)null);

    /// <summary>The part of a lot that went into another one, of the same yarn: whole balls as far as they go, the rest is loose.</summary>
    public static void Split(Lot lot, Lot part, int? balls, long partMg, long leftMg)
    {
        if (lot is not { SealedBalls: > 0 and { } all, BandMg: { } bandMg })
        {
            return;
        }

        long each = (lot.SealedMg ?? (all * bandMg)) / all;
        int going = Math.Min(Math.Min(balls ?? 0, all), (int)(partMg / Math.Max(1, each)));
        int staying = Math.Min(all - going, (int)(leftMg / Math.Max(1, each)));
        Note(part, new(going, going * each, Math.Max(0, partMg - (going * each))));
        Note(lot, new(staying, staying * each, Math.Max(0, leftMg - (staying * each))));
    }

    /// <summary>Lots of one yarn become one: their balls together, if all have the same band.</summary>
    /// <param name="left">The lot that is left, its evidence written already.</param>
    /// <param name="lots">All of them, as they were.</param>
    public static void Together(Lot left, IReadOnlyList<(long OnHandMg, SealedState State)> lots)
    {
        int balls = lots.Sum(l => l.State.Balls);
        long each = lots.Sum(l => l.State.Mg);
        if (balls == 0 || left.BandMg is null || lots.Any(l => l.State.Balls > 0 && (l.State.BandMg, l.State.BandMetres) != (left.BandMg, left.BandMetres)))
        {
            Forget(left);
            return;
        }

        (left.SealedBalls, left.SealedMg, left.LooseMg) = (balls, each, Math.Max(0, lots.Sum(l => l.OnHandMg) - each));
    }

    /// <summary>The balls of a lot that is on hand now.</summary>
    public static SealedState State(Lot lot)
    {
        int balls = Expected(lot, lot.OnHandMg);
        long all = lot.SealedMg ?? ((lot.SealedBalls ?? 0) * (lot.BandMg ?? 0));
        return new(balls, balls == 0 ? 0 : balls * all / lot.SealedBalls!.Value, lot.BandMg, lot.BandMetres);
    }

    private static bool Fits(Band band, int balls, long mg) => SealedBall.Length(band, mg / 1000m / balls).IsOk;

    private static long LooseMg(Lot lot, long sealedMg) => lot.LooseMg ?? Math.Max(0, lot.OnHandMg - sealedMg);

    /// <summary>What is probably loose of a mass of the lot.</summary>
    private static long LooseAmong(Lot lot, long mg)
    {
        if (lot is not { SealedBalls: > 0 and { } balls, BandMg: { } bandMg })
        {
            return mg;
        }

        long sealedMg = lot.SealedMg ?? (balls * bandMg);
        long loose = LooseMg(lot, sealedMg);
        return (long)(Math.Min(1, mg / (double)(sealedMg + loose)) * loose);
    }
}

/// <summary>Balls with their band on that were found in a lot.</summary>
/// <param name="Balls">How many; 0 for none.</param>
/// <param name="Mg">What they weigh together.</param>
/// <param name="LooseMg">What is loose beside them.</param>
internal readonly record struct SealedCount(int Balls, long Mg, long LooseMg);

/// <summary>Balls with their band on, and the band they have.</summary>
internal readonly record struct SealedState(int Balls, long Mg, long? BandMg, double? BandMetres);
