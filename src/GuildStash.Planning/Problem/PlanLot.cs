using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Planning.Problem;

/// <summary>Yarn that is free to plan with.</summary>
public sealed record PlanLot
{
    public const int MostWish = 100;

    /// <summary>Unique among the lots of a problem, case ignored.</summary>
    public required string Code { get; init; }

    /// <summary>What is free of it: more than 0, at most 25 kg.</summary>
    public required Mass Mass { get; init; }

    public required LotYarn Yarn { get; init; }

    /// <summary>Null where nobody knows; then only a window of lengths per mass can admit it.</summary>
    public WeightClass? WeightClass { get; init; }

    /// <summary>Null where nobody knows; then it is of one family only with itself.</summary>
    public ColourFamily? ColourFamily { get; init; }

    public Colour? Colour { get; init; }

    public LotTraits Traits { get; init; } = new(FibreContent.Unknown, Tristate.Unknown, Conditions.None, false, Softness.Unknown);

    /// <summary>Null where nobody knows; then it mixes with no other lot where dye lots must not mix.</summary>
    public string? DyeLot { get; init; }

    /// <summary>How much one wishes that it is used (its bin is to be emptied, it has lain long): 0 to 100, weighed after everything else.</summary>
    public int Wish { get; init; }
}
