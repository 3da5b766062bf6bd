using Google.OrTools.Sat;

namespace GuildStash.Planning.Model;

/// <summary>
/// The bound of a model of linear constraints when its numbers need not be whole: on large models it is there in a second or two, long
/// before the search for whole numbers has one as good.
/// </summary>
internal static class LinearBound
{
    /// <returns>The bound and the value of each variable, or null where it was not reached in time.</returns>
    public static (double Bound, double[] Values)? Of(CpModelProto model, double seconds)
    {
        using LinearCopy? copy = LinearCopy.Of(model);
        return copy?.Solve(seconds) == true
            ? (copy.AsObjective(copy.Solver.Objective().Value()), [.. copy.Variables.Select(variable => variable.SolutionValue())])
            : null;
    }
}
