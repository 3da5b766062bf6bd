using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.WeightClasses;

/// <summary>A lot that a change of the table would put into another class.</summary>
/// <param name="Index">Its place in the list given.</param>
/// <param name="Before">Class by the present table.</param>
/// <param name="After">Class by the changed one.</param>
public readonly record struct Reclassified(int Index, WeightClass? Before, WeightClass? After);

/// <summary>What a change of the table would do, before it is saved.</summary>
public static class Reclassification
{
    /// <returns>The lots whose class would change, in the order given.</returns>
    public static IReadOnlyList<Reclassified> Of(IReadOnlyList<YarnEvidence> lots, WeightClassTable before, WeightClassTable after) =>
        Of(lots, new YardageRules(before), new YardageRules(after));

    /// <summary>The same with what the room has learnt.</summary>
    /// <returns>The lots whose class would change, in the order given.</returns>
    public static IReadOnlyList<Reclassified> Of(IReadOnlyList<YarnEvidence> lots, YardageRules before, YardageRules after)
    {
        List<Reclassified> changed = [];
        for (int i = 0; i < lots.Count; i++)
        {
            (WeightClass? old, WeightClass? now) = (ClassOf(lots[i], before), ClassOf(lots[i], after));
            if (old != now)
            {
                changed.Add(new(i, old, now));
            }
        }

        return changed;
    }

    private static WeightClass? ClassOf(YarnEvidence lot, YardageRules rules) =>
        YardageModel.TryFind(lot, rules.Table, rules.Learning, rules.IsLearntForNames, out YardageFindings found) ? found.WeightClass : null;
}
