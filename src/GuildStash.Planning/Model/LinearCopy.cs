using Google.OrTools.LinearSolver;
using Google.OrTools.Sat;

namespace GuildStash.Planning.Model;

/// <summary>A model of linear constraints whose numbers need not be whole, for GLOP: variables and rows in the model's own order.</summary>
internal sealed class LinearCopy : IDisposable
{
    private readonly double _scale;
    private readonly double _offset;

    private LinearCopy(Solver solver, CpModelProto model)
    {
        Solver = solver;
        Variables = [.. model.Variables.Select(variable => solver.MakeNumVar(variable.Domain[0], variable.Domain[^1], ""))];
        Rows = [.. model.Constraints.Select(each => AddRow(each.Linear))];

        // The proto holds what is sought as least, with a factor of −1 where the most was asked for.
        for (int i = 0; i < model.Objective.Vars.Count; i++)
        {
            solver.Objective().SetCoefficient(Variables[model.Objective.Vars[i]], model.Objective.Coeffs[i]);
        }

        solver.Objective().SetMinimization();
        _scale = model.Objective.ScalingFactor == 0 ? 1 : model.Objective.ScalingFactor;
        _offset = model.Objective.Offset;
    }

    public Solver Solver { get; }

    public Variable[] Variables { get; }

    public Google.OrTools.LinearSolver.Constraint[] Rows { get; }

    /// <returns>Null where the solver is not at hand.</returns>
    public static LinearCopy? Of(CpModelProto model) => Solver.CreateSolver("GLOP") is { } solver ? new(solver, model) : null;

    /// <returns>Whether the best was found within the seconds.</returns>
    public bool Solve(double seconds)
    {
        Solver.SetTimeLimit((long)Math.Ceiling(seconds * 1_000));
        return Solver.Solve() == Solver.ResultStatus.OPTIMAL;
    }

    /// <summary>What GLOP makes least, as the model's objective.</summary>
    public double AsObjective(double least) => _scale * (least + _offset);

    public void Dispose() => Solver.Dispose();

    private Google.OrTools.LinearSolver.Constraint AddRow(LinearConstraintProto linear)
    {
        Google.OrTools.LinearSolver.Constraint row = Solver.MakeConstraint(Low(linear), High(linear));
        foreach (IGrouping<int, long> term in linear.Vars.Zip(linear.Coeffs).GroupBy(each => each.First, each => each.Second))
        {
            row.SetCoefficient(Variables[term.Key], term.Sum());
        }

        return row;
    }

    public static double Low(LinearConstraintProto linear) => linear.Domain[0] <= long.MinValue / 2 ? double.NegativeInfinity : linear.Domain[0];

    public static double High(LinearConstraintProto linear) => linear.Domain[^1] >= long.MaxValue / 2 ? double.PositiveInfinity : linear.Domain[^1];
}
