using GuildStash.Planning.Fitting;

namespace GuildStash.Planning.Model;

/// <summary>How much of a problem the full model takes in.</summary>
/// <param name="Lots">Lots it may use.</param>
/// <param name="MostJoined">Joined slices of a set; beyond those only slices from one lot.</param>
/// <param name="Without">What no plan needs that is good enough.</param>
internal sealed record ModelScope(Func<int, bool> Lots, int MostJoined, Exclusions Without)
{
    public static ModelScope Everything(Exclusions without) => new(_ => true, int.MaxValue, without);

    /// <summary>Lots that give whole slices to a group.</summary>
    public IEnumerable<Candidate> Wholes(PartFit part, int group) =>
        part.Groups[group].Candidates.Where(each => each.Reach >= part.Need && Lots(each.Lot) && Without.AllowsWhole(part.Index, group, each.Lot));

    /// <summary>Lots that are joined in slices of a set.</summary>
    public IEnumerable<Candidate> Shares(PartFit part, int group, int set) =>
        part.Groups[group].JoinSets[set].Select(i => part.Groups[group].Candidates[i]).Where(each => Lots(each.Lot) && Without.AllowsShare(part.Index, group, each.Lot));

    /// <summary>Joined slices of a set of so many lots.</summary>
    public int Slots(PartFit part, int group, int set, int lots, int wanted) =>
        (int)Math.Min(Math.Min(MostJoined, Without.Joined(part.Index, group, set).High), Math.Min(wanted, Math.Max(0, lots - 1)));
}
