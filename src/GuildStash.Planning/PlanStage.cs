namespace GuildStash.Planning;

/// <summary>What a plan is made for, the most important first; each is settled with the earlier ones held.</summary>
public enum PlanStage
{
    /// <summary>Pieces made, each counted with its priority: as many as can be.</summary>
    Pieces = 0,

    /// <summary>Lots opened, and for each part of a piece (for each family of a palette) the lots beyond its first: as few as can be.</summary>
    LotsAndJoins = 1,

    /// <summary>Yarn in opened lots that is left in amounts under 20 g: as little as can be.</summary>
    Unusable = 2,

    /// <summary>Points by which lots miss a wished colour, and ten for each further family in a piece of any colours: as few as can be.</summary>
    Colour = 3,

    /// <summary>Wishes for lots to be used, of the lots opened: as many as can be. Left out where nothing is wished.</summary>
    Wishes = 4,
}

internal static class Stages
{
    /// <summary>A sum of tenths of milligrams in grams.</summary>
    public const double TenthMgPerGram = 10_000;

    public static IReadOnlyList<PlanStage> All { get; } = [.. Enum.GetValues<PlanStage>().Order()];

    /// <summary>Whether more is better.</summary>
    public static bool IsMost(this PlanStage stage) => stage is PlanStage.Pieces or PlanStage.Wishes;

    /// <summary>As people read it: grams for what is unusable.</summary>
    public static double Shown(this PlanStage stage, double value) => stage == PlanStage.Unusable ? Math.Round(value / TenthMgPerGram, 2) : value;
}
