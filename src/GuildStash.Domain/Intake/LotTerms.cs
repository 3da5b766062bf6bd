namespace GuildStash.Domain.Intake;

/// <summary>The form in which a lot lies in the room.</summary>
public enum PutUp
{
    Ball = 0,
    Skein = 1,
    Hank = 2,
    Cake = 3,
    Cone = 4,
    Tangle = 5,
}

/// <summary>Yes, no, or not known: a first-class answer about donated yarn.</summary>
public enum Tristate
{
    Unknown = 0,
    Yes = 1,
    No = 2,
}

/// <summary>How a volunteer finds the yarn to the hand; not known is the normal case.</summary>
public enum Softness
{
    Unknown = 0,
    Soft = 1,
    Medium = 2,
    Scratchy = 3,
}

/// <summary>What was noticed on a bag or on returned yarn.</summary>
[Flags]
public enum Conditions
{
    None = 0,
    Smoke = 1,
    PetHair = 2,
    Perfume = 4,
    Mothball = 8,
    Damp = 16,
    Mould = 32,
    Insects = 64,
}

/// <summary>Each intake is one or the other, never both: a donation earns no credit, a swap does.</summary>
public enum IntakeKind
{
    Donation = 0,
    Swap = 1,
}

/// <summary>What was decided at the door.</summary>
public enum IntakeDecision
{
    Accepted = 0,
    DeclinedAtTheDoor = 1,
    PassedOn = 2,
    Discarded = 3,
}
