using Google.OrTools.LinearSolver;
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
        using Solver? solver = Solver.CreateSolver("GLOP");
        if (solver is null)
        {
            return null;
        }

        Variable[] variables = [.. model.Variables.Select(variable => solver.MakeNumVar(variable.Domain[0], variable.Domain[^1], ""))];
        foreach (LinearConstraintProto linear in model.Constraints.Select(each => each.Linear))
        {
            AddRow(solver, variables, linear);
        }

        Objective objective = solver.Objective();
        for (int i = 0; i < model.Objective.Vars.Count; i++)
        {
            objective.SetCoefficient(variables[model.Objective.Vars[i]], model.Objective.Coeffs[i]);
        }

        // The proto holds what is sought as least, with a factor of −1 where the most was asked for.
        objective.SetMinimization();
        solver.SetTimeLimit((long)Math.Ceiling(seconds * 1_000));
        double scale = model.Objective.ScalingFactor == 0 ? 1 : model.Objective.ScalingFactor;
        return solver.Solve() == Solver.ResultStatus.OPTIMAL
            ? (scale * (objective.Value() + model.Objective.Offset), [.. variables.Select(variable => variable.SolutionValue())])
            : null;
    }

    private static void AddRow(Solver solver, Variable[] variables, LinearConstraintProto linear)
    {
        double low = linear.Domain[0] <= long.MinValue / 2 ? double.NegativeInfinity : linear.Domain[0];
        double high = linear.Domain[^1] >= long.MaxValue / 2 ? double.PositiveInfinity : linear.Domain[^1];
        Google.OrTools.LinearSolver.Constraint row = solver.MakeConstraint(low, high);
        foreach (IGrouping<int, long> term in linear.Vars.Zip(linear.Coeffs).GroupBy(each => each.First, each => each.Second))
        {
            row.SetCoefficient(variables[term.Key], term.Sum());
        }
    }
}
