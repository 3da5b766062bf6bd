using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Patterns;

/// <summary>A part and group that a lot may give to.</summary>
/// <param name="JoinSet">Index of the set it is joined within; null where it only gives whole slices.</param>
/// <param name="MostWhole">Slices it can give alone.</param>
/// <param name="MostJoined">Joined slices it can have a share in.</param>
internal sealed record PatternItem(PartFit Part, int Group, int? JoinSet, Candidate Lot, int MostWhole, int MostJoined)
{
    /// <summary>Decimetres of the lot in a slice that it gives alone.</summary>
    public long WholeSize => Part.Need * Lot.Strands;

    /// <summary>Worked decimetres that it can have in a joined slice at most: another lot has one at least.</summary>
    public long LargestShare => Part.Need - 1;
}

/// <summary>What a pattern has for one part and group.</summary>
/// <param name="Whole">Slices from this lot alone.</param>
/// <param name="Joined">Joined slices with a share of this lot.</param>
/// <param name="Worked">Worked decimetres in joined slices; need not be whole.</param>
internal readonly record struct PatternUse(int Whole, int Joined, double Worked)
{
    public PatternUse Plus(int whole, int joined, double worked) => new(Whole + whole, Joined + joined, Worked + worked);
}

/// <summary>A way to use a lot up: how many whole slices and shares of joined ones it gives to which parts.</summary>
internal sealed record LotPattern(LotStock Lot, IReadOnlyDictionary<PatternItem, PatternUse> Uses)
{
    private const double Slack = 1e-6;

    /// <summary>What it adds to a stage's sum. Pieces, lots and joins are counted by the slices, not by patterns.</summary>
    public double In(PlanStage stage) => stage switch
    {
        PlanStage.Unusable => Unusable(Lot, Lot.Decimetres - Uses.Sum(each => ((each.Value.Whole * each.Key.Part.Need) + each.Value.Worked) * each.Key.Lot.Strands)),
        PlanStage.Colour => Uses.Sum(each => (each.Value.Whole + each.Value.Joined) * (long)each.Key.Lot.Colour),
        PlanStage.Wishes => Lot.Lot.Wish,
        _ => 0,
    };

    /// <summary>Tenths of a milligram that are of no use when so many decimetres are left.</summary>
    public static double Unusable(LotStock lot, double left) => left > Slack && left < lot.UsableFrom - Slack ? left * lot.TenthMg : 0;
}
