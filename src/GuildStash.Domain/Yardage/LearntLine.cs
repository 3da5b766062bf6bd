using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// How one fibre group's length per mass departs from the table at a given wrap count, by conjugate Bayesian regression on the
/// logarithms (normal-inverse-gamma; Gelman et al., <em>Bayesian Data Analysis</em>, ch. 14, from memory).
/// </summary>
/// <remarks>
/// For a lot whose true wraps lie in a row with mean μ and standard deviation σ, both with what its fibres say: y = μ + a + b·x + τ·σ/√2·ε, with
/// x = ln(wraps) − ln 10 held within ±1.2 and ε standard normal. The prior is the table: a and b around 0, τ around 1. Half of a row's
/// variance is taken to lie between rooms, half between the lots of one room, as in the totals. The prior of a and b gives every row
/// the same V(x) = s_a² + s_b²·x² between rooms, the table σ²/2; so what is still unsure of a and b is scaled by σ²/2V, which makes the
/// answer exactly the row with nothing learnt, and fades as lots come in. The predictive distribution is Student's t; the normal one
/// with the same 5 % and 95 % points stands for it.
/// </remarks>
public readonly struct LearntLine
{
    /// <summary>Spread of the constant between rooms, ±6 % (standard deviation of ln): a judgement, near the spread of the fibres' densities.</summary>
    public const double ConstantSd = 0.06;

    /// <summary>Spread of the exponent between rooms: 0.08, a judgement; the table's own is about 1.2.</summary>
    public const double ExponentSd = 0.08;

    /// <summary>
    /// From so many lots on, a count's answer is wholly that of the rows its true wraps may lie in; before, each lot takes it a hundredth of
    /// the way from the row of the count. A judgement; see docs/adr/0007-estimates.md.
    /// </summary>
    public const double LotsToTrustTrueWraps = 100;

    /// <summary>The prior counts as so many lots where the spread is concerned: 10, a judgement.</summary>
    public const double PriorFreedom = 10;

    /// <summary>ln of the wraps per inch at which the constant is reckoned.</summary>
    internal const double CentreLog = 2.302585092994046;

    internal const double FarthestFromCentre = 1.2;
    private const double OwnPart = 0.5;

    private static readonly double PriorScale = NormalCurve.NinetyFivePercent / NormalCurve.StudentNinetyFivePercent(PriorFreedom);

    private readonly bool _isLearnt;
    private readonly double _c11;
    private readonly double _c12;
    private readonly double _c22;
    private readonly double _variance;
    private readonly double _student;

    internal LearntLine(in FibreGroupStatistics data)
    {
        _isLearnt = data.Lots > 0;
        Lots = data.Lots;
        double p1 = 1 / (ConstantSd * ConstantSd), p2 = 1 / (ExponentSd * ExponentSd);
        double l11 = p1 + data.V11, l22 = p2 + data.V22, l12 = data.V12;
        double determinant = (l11 * l22) - (l12 * l12);
        (_c11, _c12, _c22) = (l22 / determinant, -l12 / determinant, l11 / determinant);
        Constant = (_c11 * data.Z1) + (_c12 * data.Z2);
        Slope = (_c12 * data.Z1) + (_c22 * data.Z2);
        double freedom = PriorFreedom + data.Lots;
        double prior = PriorFreedom * PriorScale * PriorScale;
        _variance = (prior + Math.Max(0, data.Zz - (Constant * data.Z1) - (Slope * data.Z2))) / freedom;
        _student = NormalCurve.StudentNinetyFivePercent(freedom) / NormalCurve.NinetyFivePercent;
    }

    /// <summary>How many lots taught it.</summary>
    public double Lots { get; }

    /// <summary>How far a count's answer is that of the rows beside it, too: 0 with nothing learnt, 1 from 100 lots on.</summary>
    internal double TrueWrapsShare => Math.Min(1, Lots / LotsToTrustTrueWraps);

    /// <summary>a: ln of the factor on the table's length at 10 wraps per inch; 0 with nothing learnt.</summary>
    public double Constant { get; }

    /// <summary>Its standard deviation (the t distribution's scale).</summary>
    public double ConstantError => Math.Sqrt(Spread * _c11);

    /// <summary>b: how much steeper than the table's length grows with the wraps; 0 with nothing learnt.</summary>
    public double Slope { get; }

    /// <summary>Its standard deviation (the t distribution's scale).</summary>
    public double SlopeError => Math.Sqrt(Spread * _c22);

    /// <summary>τ²: the square of the lots' spread over what the table allows them; 1 with nothing learnt.</summary>
    public double Spread => _isLearnt ? _variance : 1;

    /// <summary>What to expect of a lot that lies in a row.</summary>
    /// <param name="row">Row of the table.</param>
    /// <param name="wrapsLog">ln(wraps per inch).</param>
    /// <param name="bulk">What the lot's fibres say.</param>
    internal (double Mean, double Sd) Expect(WeightClassRow row, double wrapsLog, in FibreBulk bulk)
    {
        (double mean, double sd) = (row.LogMean + bulk.Shift, bulk.Widened(row.LogSd));
        if (!_isLearnt)
        {
            return (mean, sd);
        }

        double x = Regressor(wrapsLog);
        double between = (ConstantSd * ConstantSd) + (ExponentSd * ExponentSd * x * x);
        double unsure = (_c11 + (2 * x * _c12) + (x * x * _c22)) / between;
        double variance = sd * sd * (OwnPart + ((1 - OwnPart) * unsure));
        return (mean + Constant + (Slope * x), _student * Math.Sqrt(_variance * variance));
    }

    /// <summary>Adds a lot that lies in a row with a probability.</summary>
    /// <param name="data">What was learnt so far.</param>
    /// <param name="weight">The probability.</param>
    /// <param name="row">The row.</param>
    /// <param name="wrapsLog">ln(wraps per inch).</param>
    /// <param name="bulk">What its fibres say.</param>
    /// <param name="reading">Its length per mass by a band or a sample.</param>
    internal static FibreGroupStatistics Add(in FibreGroupStatistics data, double weight, WeightClassRow row, double wrapsLog, in FibreBulk bulk, in DirectReading reading)
    {
        double x = Regressor(wrapsLog);
        double ofRow = bulk.Widened(row.LogSd);
        double sd = Math.Sqrt((OwnPart * ofRow * ofRow) + (reading.Sd * reading.Sd));
        return data.With(weight, 1 / sd, x / sd, (reading.Log - row.LogMean - bulk.Shift) / sd);
    }

    private static double Regressor(double wrapsLog) => Math.Clamp(wrapsLog - CentreLog, -FarthestFromCentre, FarthestFromCentre);
}
