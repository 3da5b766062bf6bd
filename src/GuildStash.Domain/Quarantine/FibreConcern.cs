using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Quarantine;

/// <summary>How soon a fibre should go into the freezer, the most urgent first.</summary>
public enum FibreConcern
{
    /// <summary>Wool, hair or silk alone.</summary>
    Animal = 0,

    /// <summary>Animal fibre among others.</summary>
    Blend = 1,

    Unknown = 2,

    /// <summary>Cotton, linen and pure synthetics are not eaten (NC State Extension).</summary>
    NotEaten = 3,
}

public static class FibreConcerns
{
    /// <summary>Attacked are wool, hair, feathers and sometimes silk; blends may be (NC State Extension).</summary>
    public static FibreConcern Of(FibreContent fibres) => fibres switch
    {
        { IsUnknown: true } => FibreConcern.Unknown,
        { MayFeedPests: false } => FibreConcern.NotEaten,
        _ => fibres.Fibres.All(fibre => fibre.AttractsPests) ? FibreConcern.Animal : FibreConcern.Blend,
    };
}
