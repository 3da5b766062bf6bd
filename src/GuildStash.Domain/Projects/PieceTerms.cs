namespace GuildStash.Domain.Projects;

/// <summary>How a piece is made.</summary>
public enum PieceCraft
{
    Either = 0,
    Knitted = 1,
    Crocheted = 2,
}

/// <summary>What happened to pieces, in the order in which it happens.</summary>
public enum PieceStep
{
    /// <summary>A member has begun; the yarn is at home.</summary>
    Started = 0,

    /// <summary>Made, and in the guild's hands.</summary>
    Finished = 1,

    /// <summary>Handed to the recipient.</summary>
    Delivered = 2,
}
