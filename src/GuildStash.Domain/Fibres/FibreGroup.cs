namespace GuildStash.Domain.Fibres;

/// <summary>
/// Fibres whose yarns have about the same length for their thickness (judgement, after the fibres' densities). A group is learnt
/// from its own lots only.
/// </summary>
public enum FibreGroup
{
    /// <summary>Not known, metallic, or no group makes up more than half.</summary>
    Other = 0,

    /// <summary>Wool, hair and silk.</summary>
    Animal = 1,

    /// <summary>Plant and regenerated fibres, the densest.</summary>
    Plant = 2,

    /// <summary>Synthetic fibres, the lightest.</summary>
    Synthetic = 3,
}

/// <summary>From a lot's fibres to its group.</summary>
public static class FibreGroups
{
    /// <summary>The group that makes up more than half; without percentages, the group of all fibres if they share one.</summary>
    public static FibreGroup Of(FibreContent content)
    {
        if (content.IsUnknown)
        {
            return FibreGroup.Other;
        }

        bool hasShares = content.Shares[0].Percent is not null;
        foreach (IGrouping<FibreGroup, (FibreShare First, Fibre Second)> group in content.Shares.Zip(content.Fibres).GroupBy(each => Of(each.Second.Kind)))
        {
            if (hasShares ? group.Sum(each => each.First.Percent) > 50 : group.Count() == content.Fibres.Count)
            {
                return group.Key;
            }
        }

        return FibreGroup.Other;
    }

    /// <summary>The group of one fibre.</summary>
    public static FibreGroup Of(FibreKind kind) => kind switch
    {
        FibreKind.Animal => FibreGroup.Animal,
        FibreKind.Plant or FibreKind.Regenerated => FibreGroup.Plant,
        FibreKind.Synthetic => FibreGroup.Synthetic,
        _ => FibreGroup.Other,
    };
}
