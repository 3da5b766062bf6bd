namespace GuildStash.Domain.Ledger;

/// <summary>Where yarn can be. Every gram is in exactly one place; a movement takes it from one and gives it to another.</summary>
public enum PlaceKind
{
    /// <summary>The giver; its balance is minus what it gave. The id is the donation's.</summary>
    Donor = 0,

    /// <summary>An unsorted bag; what is left when it is closed is the sorting difference.</summary>
    Bag = 1,

    /// <summary>A bin on an open shelf.</summary>
    Bin = 2,

    /// <summary>A quarantine bin: on hand, never free.</summary>
    Quarantine = 3,

    /// <summary>At a member's home.</summary>
    Member = 4,

    /// <summary>Worked into a project's pieces.</summary>
    Project = 5,

    /// <summary>Given to another organisation or person.</summary>
    PassedOn = 6,

    Waste = 7,

    Lost = 8,

    /// <summary>Weighing errors; the only place besides the donor and the bag whose balance may be negative.</summary>
    Adjustment = 9,

    /// <summary>On its way from one lot to another within one act; the id is the transfer's and its balance is zero once the act is booked.</summary>
    Relotted = 10,

    /// <summary>Fills toys and cushions; it is not yarn any more.</summary>
    Stuffing = 11,
}

/// <summary>One place; kinds that stand for a single place of the guild (waste, lost, adjustment, passed on, stuffing) have no id.</summary>
public readonly record struct Place(PlaceKind Kind, Guid? Id)
{
    public static Place Donor(Guid donationId) => new(PlaceKind.Donor, donationId);

    public static Place Bag(Guid bagId) => new(PlaceKind.Bag, bagId);

    public static Place Bin(Guid binId, bool isQuarantine) => new(isQuarantine ? PlaceKind.Quarantine : PlaceKind.Bin, binId);

    public static Place Member(Guid personId) => new(PlaceKind.Member, personId);

    public static Place Project(Guid projectId) => new(PlaceKind.Project, projectId);

    public static Place Relotted(Guid transferId) => new(PlaceKind.Relotted, transferId);

    public static Place PassedOn { get; } = new(PlaceKind.PassedOn, null);

    public static Place Stuffing { get; } = new(PlaceKind.Stuffing, null);

    public static Place Waste { get; } = new(PlaceKind.Waste, null);

    public static Place Lost { get; } = new(PlaceKind.Lost, null);

    public static Place Adjustment { get; } = new(PlaceKind.Adjustment, null);

    /// <summary>True where yarn is in the room: a bin or a quarantine bin.</summary>
    public bool IsInRoom => Kind is PlaceKind.Bin or PlaceKind.Quarantine;
}
