using GuildStash.Domain.Approvals;
using GuildStash.Domain.Ledger;

namespace GuildStash.Domain.Intake;

/// <summary>Where what is left of a sorted bag went.</summary>
public enum RestTo
{
    /// <summary>Bands, rubbish and rounding.</summary>
    Waste = 0,

    /// <summary>Given to another organisation or person.</summary>
    PassedOn = 1,

    /// <summary>Kept to fill toys and cushions.</summary>
    Stuffing = 2,

    /// <summary>It is not there, and nobody knows where it went.</summary>
    Lost = 3,
}

/// <summary>How the rest of a sorted bag is booked.</summary>
public static class RestOfBag
{
    public static Place Place(this RestTo to) => to switch
    {
        RestTo.PassedOn => Ledger.Place.PassedOn,
        RestTo.Stuffing => Ledger.Place.Stuffing,
        RestTo.Lost => Ledger.Place.Lost,
        _ => Ledger.Place.Waste,
    };

    public static MovementReason Reason(this RestTo to) => to switch
    {
        RestTo.PassedOn => MovementReason.PassedOn,
        RestTo.Stuffing => MovementReason.UsedAsStuffing,
        RestTo.Lost => MovementReason.GoneMissing,
        _ => MovementReason.SortingDifference,
    };

    /// <summary>
    /// Bands and rubbish are what sorting leaves over, and what is passed on or used as stuffing is put to use; only what nobody can show is
    /// a write-off.
    /// </summary>
    /// <param name="to">Where the rest went.</param>
    /// <param name="mg">What is left of the bag.</param>
    public static bool NeedsSecondPerson(this RestTo to, long mg) => to == RestTo.Lost && WriteOffRules.NeedsSecondPerson(mg, 0);

    /// <summary>Lots that weigh more than their bag did, beyond what the scales explain: one of them was typed wrong, or came out of another bag.</summary>
    /// <param name="surplusMg">By how much the lots weigh more than the bag; zero or less where they don't.</param>
    /// <param name="toleranceMg">What the scales explain.</param>
    public static bool SurplusNeedsReason(long surplusMg, long toleranceMg) => surplusMg > 0 && (surplusMg > toleranceMg || SurplusNeedsSecondPerson(surplusMg));

    /// <summary>It is yarn from nowhere, as a new weight of a lot that is far above the books.</summary>
    /// <param name="surplusMg">By how much the lots weigh more than the bag; zero or less where they don't.</param>
    public static bool SurplusNeedsSecondPerson(long surplusMg) => surplusMg > 0 && WriteOffRules.WeightNeedsSecondPerson(surplusMg, 0);
}
