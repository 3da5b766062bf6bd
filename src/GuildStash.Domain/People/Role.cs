namespace GuildStash.Domain.People;

/// <summary>What a person may do in the guild; each role includes those below it.</summary>
public enum Role
{
    Member = 0,
    Volunteer = 1,
    Coordinator = 2,
    Administrator = 3,
}

/// <summary>Unit in which a person reads lengths.</summary>
public enum LengthUnit
{
    Yards = 0,
    Metres = 1,
}

/// <summary>Ground of the pages.</summary>
public enum Theme
{
    System = 0,
    Light = 1,
    Dark = 2,
}
