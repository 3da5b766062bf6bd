namespace GuildStash.Planning.Patterns;

/// <summary>What slices, lengths, lots and points are worth to each other: multipliers of the master's rows. Whatever they are, the bound they give holds.</summary>
internal sealed class PatternPrices
{
    /// <summary>What an opened lot costs.</summary>
    public required double Opened { get; init; }

    /// <summary>What a unit of a stage that patterns add to costs; not negative, but for wishes.</summary>
    public required IReadOnlyDictionary<PlanStage, double> Cost { get; init; }

    /// <summary>Worth of a whole slice, by part and group.</summary>
    public required IReadOnlyDictionary<(int Part, int Group), double> Whole { get; init; }

    /// <summary>Worth of a worked decimetre in joined slices, and what a share in one costs, by part, group and set.</summary>
    public required IReadOnlyDictionary<(int Part, int Group, int Set), (double Worked, double Share)> Joined { get; init; }

    /// <summary>What is left of each variable's cost when all rows are charged for, by its index, and the variable's limits: the bound takes each at its cheaper limit.</summary>
    public required IReadOnlyList<(double Cost, double Low, double High)> Left { get; init; }

    public double CostOf(PlanStage stage) => Cost.GetValueOrDefault(stage);

    public double WorthWhole(PatternItem item) => Whole[(item.Part.Index, item.Group)] - (CostOf(PlanStage.Colour) * item.Lot.Colour);

    /// <summary>Worth of a share of so many worked decimetres: <c>Fixed + Worked · decimetres</c>.</summary>
    public (double Fixed, double Worked) WorthJoined(PatternItem item)
    {
        (double worked, double share) = Joined[(item.Part.Index, item.Group, item.JoinSet!.Value)];
        return (-share - (CostOf(PlanStage.Colour) * item.Lot.Colour), worked);
    }
}
