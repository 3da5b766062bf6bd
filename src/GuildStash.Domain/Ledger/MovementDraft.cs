namespace GuildStash.Domain.Ledger;

/// <summary>Why yarn moved.</summary>
public enum MovementReason
{
    Received = 0,
    Sorted = 1,
    SortingDifference = 2,
    Moved = 3,
    Released = 4,
    PutInQuarantine = 5,
    HandedOver = 6,
    Returned = 7,
    UsedUp = 8,
    Kept = 9,
    WrittenOff = 10,
    PassedOn = 11,
    Discarded = 12,
    Counted = 13,
    WeighingDifference = 14,
    EnteredByMistake = 15,
    GoneMissing = 16,

    /// <summary>Part of a lot became a lot of its own.</summary>
    Split = 17,

    /// <summary>A lot went into another one.</summary>
    Merged = 18,

    /// <summary>A split was entered by mistake; the part went back.</summary>
    SplitUndone = 19,

    /// <summary>What no lot was made of fills toys and cushions.</summary>
    UsedAsStuffing = 20,
}

/// <summary>A movement that may be written: it can only be made from two different places that the trade's flow connects.</summary>
public sealed record MovementDraft
{
    private static readonly HashSet<(PlaceKind From, PlaceKind To)> Ways =
    [
        (PlaceKind.Donor, PlaceKind.Bag),
        (PlaceKind.Bag, PlaceKind.Bin),
        (PlaceKind.Bag, PlaceKind.Quarantine),
        (PlaceKind.Bag, PlaceKind.Waste),
        (PlaceKind.Bag, PlaceKind.PassedOn),
        (PlaceKind.Bag, PlaceKind.Stuffing),
        (PlaceKind.Bag, PlaceKind.Lost),
        (PlaceKind.Bag, PlaceKind.Adjustment),
        (PlaceKind.Adjustment, PlaceKind.Bag),
        (PlaceKind.Bin, PlaceKind.Bag),
        (PlaceKind.Quarantine, PlaceKind.Bag),
        (PlaceKind.Bin, PlaceKind.Bin),
        (PlaceKind.Bin, PlaceKind.Quarantine),
        (PlaceKind.Quarantine, PlaceKind.Bin),
        (PlaceKind.Quarantine, PlaceKind.Quarantine),
        (PlaceKind.Bin, PlaceKind.Member),
        (PlaceKind.Member, PlaceKind.Quarantine),
        (PlaceKind.Member, PlaceKind.Bin),
        (PlaceKind.Member, PlaceKind.Project),
        (PlaceKind.Member, PlaceKind.PassedOn),
        (PlaceKind.Member, PlaceKind.Waste),
        (PlaceKind.Member, PlaceKind.Lost),
        (PlaceKind.Member, PlaceKind.Adjustment),
        (PlaceKind.Adjustment, PlaceKind.Member),
        (PlaceKind.Bin, PlaceKind.Waste),
        (PlaceKind.Bin, PlaceKind.PassedOn),
        (PlaceKind.Bin, PlaceKind.Lost),
        (PlaceKind.Bin, PlaceKind.Adjustment),
        (PlaceKind.Adjustment, PlaceKind.Bin),
        (PlaceKind.Quarantine, PlaceKind.Waste),
        (PlaceKind.Quarantine, PlaceKind.Lost),
        (PlaceKind.Quarantine, PlaceKind.Adjustment),
        (PlaceKind.Adjustment, PlaceKind.Quarantine),
        (PlaceKind.Bin, PlaceKind.Relotted),
        (PlaceKind.Quarantine, PlaceKind.Relotted),
        (PlaceKind.Relotted, PlaceKind.Bin),
        (PlaceKind.Relotted, PlaceKind.Quarantine),
    ];

    private MovementDraft(Place from, Place to, long milligrams, MovementReason reason) =>
        (From, To, Milligrams, Reason) = (from, to, milligrams, reason);

    public Place From { get; }

    public Place To { get; }

    /// <summary>Mass in milligrams, greater than zero.</summary>
    public long Milligrams { get; }

    public MovementReason Reason { get; }

    /// <summary>Whether yarn can go this way at all: what left the room comes back only through a return.</summary>
    public static bool IsWay(PlaceKind from, PlaceKind to) => Ways.Contains((from, to));

    /// <exception cref="ArgumentException">Both places are the same, or nothing leads from one to the other.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The mass is not greater than zero.</exception>
    public static MovementDraft Create(Place from, Place to, long milligrams, MovementReason reason)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(milligrams);
        if (from == to)
        {
            throw new ArgumentException($"A movement needs two different places; both are {from}.", nameof(to));
        }

        if (!IsWay(from.Kind, to.Kind))
        {
            throw new ArgumentException($"Yarn does not go from {from.Kind} to {to.Kind}.", nameof(to));
        }

        return new MovementDraft(from, to, milligrams, reason);
    }
}
