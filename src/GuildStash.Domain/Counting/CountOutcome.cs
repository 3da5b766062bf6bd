using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counting;

/// <summary>How a count stands.</summary>
public enum CountOutcome
{
    /// <summary>The bin is frozen and somebody is at the scale.</summary>
    Counting = 0,

    /// <summary>Within its tolerance, and nothing had to be booked.</summary>
    Agrees = 1,

    /// <summary>Differences within their tolerance were booked.</summary>
    Booked = 2,

    /// <summary>At least one difference waits for a second person, or was not approved; it is not in the books.</summary>
    Asked = 3,

    /// <summary>What was asked for was approved and booked.</summary>
    Approved = 4,

    /// <summary>A whole bin beyond its tolerance: nobody knows which lot it is, so it has to be weighed lot by lot.</summary>
    Differs = 5,

    /// <summary>Ended without a result.</summary>
    LeftOff = 6,

    /// <summary>Nobody ended it; it ran out.</summary>
    Lapsed = 7,
}

/// <summary>How a bin is weighed.</summary>
public enum CountWay
{
    LotByLot = 0,

    /// <summary>With all that is in it; its tare is known.</summary>
    WholeBin = 1,
}

/// <summary>The words for counts.</summary>
public static class CountTerms
{
    public static Terms<CountOutcome> Outcomes { get; } = new(
        (CountOutcome.Counting, "counting", "being counted"),
        (CountOutcome.Agrees, "agrees", "agrees"),
        (CountOutcome.Booked, "booked", "booked"),
        (CountOutcome.Asked, "asked", "asked a second person"),
        (CountOutcome.Approved, "approved", "approved and booked"),
        (CountOutcome.Differs, "differs", "differs, count lot by lot"),
        (CountOutcome.LeftOff, "leftOff", "left off"),
        (CountOutcome.Lapsed, "lapsed", "ran out"));

    public static Terms<CountWay> Ways { get; } = new(
        (CountWay.LotByLot, "lotByLot", "lot by lot"),
        (CountWay.WholeBin, "wholeBin", "whole bin"));

    public static Phrase Name(this CountOutcome outcome) => Outcomes.Name(outcome);

    public static Phrase Name(this CountWay way) => Ways.Name(way);
}
