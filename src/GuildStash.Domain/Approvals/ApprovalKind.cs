namespace GuildStash.Domain.Approvals;

/// <summary>What a second person is asked for.</summary>
public enum ApprovalKind
{
    /// <summary>Yarn leaves the books as waste or lost.</summary>
    WriteOff = 0,

    /// <summary>Several lots become one.</summary>
    Merge = 1,

    /// <summary>A bag with its lots, or one lot, leaves quarantine.</summary>
    QuarantineRelease = 2,

    /// <summary>A stock count differs from the books by more than its expected error.</summary>
    CountDifference = 3,

    /// <summary>A lot that was weighed before weighs more or less than the books have, or the lots of a bag more than it did, by more than a ball.</summary>
    Weighing = 4,
}

/// <summary>Where a request stands. Only one that waits can change, and only once.</summary>
public enum ApprovalState
{
    Waiting = 0,
    Approved = 1,
    Declined = 2,

    /// <summary>Taken back by the person who asked.</summary>
    Withdrawn = 3,
}

/// <summary>Who confirmed a request.</summary>
public enum ApprovalWay
{
    /// <summary>Another account than the one that asked.</summary>
    SecondPerson = 0,

    /// <summary>The same account, after the guild's waiting time; only where the guild's setting allows it.</summary>
    DelayedReview = 1,
}
