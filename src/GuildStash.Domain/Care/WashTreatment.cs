namespace GuildStash.Domain.Care;

/// <summary>How a label lets a yarn be washed, gentlest last.</summary>
public enum WashTreatment
{
    /// <summary>The label says nothing; that is no permission.</summary>
    NotStated = 0,
    Machine = 1,
    Hand = 2,
    DoNotWash = 3,
}

/// <summary>How much a machine may move the wash: one bar under the tub is mild, two are very mild (ISO 3758).</summary>
public enum MechanicalAction
{
    Normal = 0,
    Mild = 1,
    VeryMild = 2,
}
