using Google.OrTools.Sat;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Model;
using LinearRow = Google.OrTools.LinearSolver.Constraint;
using LinearVariable = Google.OrTools.LinearSolver.Variable;

namespace GuildStash.Planning.Patterns;

/// <summary>Mixes the patterns known so far, each lot's to at most one whole, and prices what better ones would have to be worth.</summary>
internal sealed class PatternMaster : IDisposable
{
    private const double Least = 1e-6;
    private const double AlmostWhole = 1e-4;

    private readonly PatternFrame _frame;
    private readonly CpModelProto _model;
    private readonly LinearCopy _copy;
    private readonly PlanStage _stage;
    private readonly LinearRow[] _lots;
    private readonly List<(LotPattern Pattern, LinearVariable Share)> _patterns = [];
    private readonly double[] _low;
    private readonly double[] _high;
    private double[] _values = [];
    private double[] _shares = [];
    private double[] _duals = [];
    private double[] _rowDuals = [];

    private PatternMaster(PatternFrame frame, LinearCopy copy, int lots, PlanStage stage)
    {
        (_frame, _model, _copy, _stage) = (frame, frame.Model.Model, copy, stage);
        _lots = [.. Enumerable.Range(0, lots).Select(_ => copy.Solver.MakeConstraint(double.NegativeInfinity, 1))];
        _low = [.. _model.Variables.Select(each => (double)each.Domain[0])];
        _high = [.. _model.Variables.Select(each => (double)each.Domain[^1])];
    }

    /// <summary>1 where the stage is to be made small and −1 where large: the master makes everything small.</summary>
    private int Sign => _stage.IsMost() ? -1 : 1;

    /// <returns>Null where the linear solver is not at hand.</returns>
    public static PatternMaster? Of(PatternFrame frame, FittedPlan plan, PlanStage stage) =>
        LinearCopy.Of(frame.Model.Model) is { } copy ? new(frame, copy, plan.Lots.Count, stage) : null;

    public void Add(LotPattern pattern)
    {
        LinearVariable share = _copy.Solver.MakeNumVar(0, double.PositiveInfinity, "");
        _copy.Solver.Objective().SetCoefficient(share, Sign * pattern.In(_stage));
        _lots[pattern.Lot.Index].SetCoefficient(share, 1);
        _copy.Rows[_frame.Opened].SetCoefficient(share, -1);
        foreach ((PlanStage held, int row) in _frame.Held)
        {
            _copy.Rows[row].SetCoefficient(share, pattern.In(held));
        }

        foreach ((PatternItem item, PatternUse use) in pattern.Uses)
        {
            _copy.Rows[_frame.Whole[(item.Part.Index, item.Group)]].SetCoefficient(share, use.Whole);
            if (use.Joined > 0)
            {
                (int worked, int shares) = _frame.Joined[(item.Part.Index, item.Group, item.JoinSet!.Value)];
                _copy.Rows[worked].SetCoefficient(share, use.Worked);
                _copy.Rows[shares].SetCoefficient(share, -use.Joined);
            }
        }

        _patterns.Add((pattern, share));
    }

    /// <summary>Adds a pattern that is worth more than its lot already has by the last mix.</summary>
    /// <returns>Whether it was.</returns>
    public bool Offers(LotPattern pattern, double worth)
    {
        if (worth <= -_duals[pattern.Lot.Index] + Least)
        {
            return false;
        }

        Add(pattern);
        return true;
    }

    /// <summary>Keeps variables within limits, and all others within their own.</summary>
    public void Keep(IReadOnlyDictionary<int, (double Low, double High)> limits)
    {
        for (int i = 0; i < _low.Length; i++)
        {
            (double low, double high) = limits.TryGetValue(i, out (double, double) limit) ? limit : (_model.Variables[i].Domain[0], _model.Variables[i].Domain[^1]);
            if (low != _low[i] || high != _high[i])
            {
                (_low[i], _high[i]) = (low, high);
                _copy.Variables[i].SetBounds(low, high);
            }
        }
    }

    /// <summary>A variable's own limits.</summary>
    public (double Low, double High) Own(int variable) => (_model.Variables[variable].Domain[0], _model.Variables[variable].Domain[^1]);

    /// <summary>Finds the best mix.</summary>
    /// <returns>Whether it was found in the time.</returns>
    public bool Solve(double seconds)
    {
        bool found = _copy.Solve(seconds);
        Steps += (1 + _copy.Solver.Iterations()) * (_copy.Rows.Length + _lots.Length);
        if (found)
        {
            // All at once: with the next pattern they can no longer be read.
            _values = [.. _copy.Variables.Select(variable => variable.SolutionValue())];
            _shares = [.. _patterns.Select(each => each.Share.SolutionValue())];
            _duals = [.. _lots.Select(row => row.DualValue())];
            _rowDuals = [.. _copy.Rows.Select(row => row.DualValue())];
        }

        return found;
    }

    /// <summary>Steps of the linear solver so far, each as long as its rows are many.</summary>
    public long Steps { get; private set; }

    /// <summary>The patterns in the best mix with their shares.</summary>
    public IEnumerable<(LotPattern Pattern, double Share)> Mix => _shares.Select((share, i) => (_patterns[i].Pattern, share)).Where(each => each.share > Least);

    /// <summary>The variable that is to be split next: the one furthest from a whole number, of those that decide most; null where all are whole.</summary>
    public (int Variable, double Value)? Split()
    {
        foreach (int[] set in _frame.Splits.Where(set => set.Length > 0))
        {
            int variable = set.MaxBy(i => Math.Abs(_values[i] - Math.Round(_values[i])));
            if (Math.Abs(_values[variable] - Math.Round(_values[variable])) > AlmostWhole)
            {
                return (variable, _values[variable]);
            }
        }

        return null;
    }

    /// <summary>Decides for the patterns that are all but whole in the mix, and where there are none for the one that is nearest to it.</summary>
    /// <returns>Whether there was anything left to decide.</returns>
    public bool Decide()
    {
        int[] open = [.. Enumerable.Range(0, _shares.Length).Where(i => _shares[i] > Least && _patterns[i].Share.Lb() < 1).OrderByDescending(i => _shares[i])];
        foreach (int i in open.Take(Math.Max(1, open.Count(i => _shares[i] > 1 - Least))))
        {
            _patterns[i].Share.SetLb(1);
        }

        return open.Length > 0;
    }

    /// <summary>Takes all decisions back.</summary>
    public void Undecide()
    {
        foreach ((_, LinearVariable share) in _patterns)
        {
            share.SetLb(0);
        }
    }

    /// <summary>Prices in the best mix, and the bound that they give before the worth of each lot's best pattern is taken from it.</summary>
    public PatternPrices Prices(out double bound)
    {
        double[] multipliers = [.. _rowDuals.Select((dual, i) => Multiplier(dual, _model.Constraints[i].Linear))];
        Dictionary<PlanStage, double> cost = _frame.Held.ToDictionary(each => each.Key, each => -multipliers[each.Value]);
        cost[_stage] = Sign;
        (double least, double[] left) = BoundOf(multipliers);
        bound = _copy.AsObjective(least);
        return new()
        {
            Left = [.. left.Select((each, i) => (each, _low[i], _high[i]))],
            Opened = multipliers[_frame.Opened],
            Cost = cost,
            Whole = _frame.Whole.ToDictionary(each => each.Key, each => multipliers[each.Value]),
            Joined = _frame.Joined.ToDictionary(each => each.Key, each => (multipliers[each.Value.Worked], multipliers[each.Value.Shares])),
        };
    }

    /// <summary>What worth of patterns takes from a bound.</summary>
    public double Less(double worth) => Sign * -worth;

    /// <summary>A row that is open on one side can't be charged for that side.</summary>
    private static double Multiplier(double dual, LinearConstraintProto row) =>
        (dual > 0 && double.IsInfinity(LinearCopy.Low(row))) || (dual < 0 && double.IsInfinity(LinearCopy.High(row))) ? 0 : dual;

    /// <summary>The least that pieces and slices come to when rows are charged for and no longer held: true for whatever multipliers.</summary>
    private (double Bound, double[] Left) BoundOf(double[] multipliers)
    {
        double[] left = new double[_model.Variables.Count];
        for (int i = 0; i < _model.Objective.Vars.Count; i++)
        {
            left[_model.Objective.Vars[i]] += _model.Objective.Coeffs[i];
        }

        double sum = 0;
        for (int row = 0; row < multipliers.Length; row++)
        {
            LinearConstraintProto linear = _model.Constraints[row].Linear;
            if (multipliers[row] == 0)
            {
                continue;
            }

            sum += multipliers[row] * (multipliers[row] > 0 ? LinearCopy.Low(linear) : LinearCopy.High(linear));
            for (int i = 0; i < linear.Vars.Count; i++)
            {
                left[linear.Vars[i]] -= multipliers[row] * linear.Coeffs[i];
            }
        }

        return (sum + left.Select((each, i) => each * (each > 0 ? _low[i] : _high[i])).Sum(), left);
    }

    public void Dispose() => _copy.Dispose();
}
