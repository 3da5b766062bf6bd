using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>
/// What pieces of one kind really took, from the guild's own: mean, spread and what the next one surely takes. The safe figure is the upper
/// 95 % limit of one more observation, mean + t·s·√(1 + 1/n) with n − 1 degrees of freedom (textbook; it takes the lengths to spread
/// about their mean like a bell).
/// </summary>
public readonly record struct OwnNeed
{
    /// <summary>Fewer say too little of how far they spread (a judgement).</summary>
    public const int Fewest = 3;

    /// <summary>Student's t that 95 % stay below, by degrees of freedom from 1 (computed from its density; beside the test).</summary>
    private static readonly double[] T95 =
    [
        6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812, 1.796, 1.782, 1.771, 1.761, 1.753, 1.746, 1.740, 1.734, 1.729, 1.725,
        1.721, 1.717, 1.714, 1.711, 1.708, 1.706, 1.703, 1.701, 1.699, 1.697,
    ];

    private OwnNeed(int count, double mean, double spread, double least, double most) =>
        (Count, Mean, Spread, Least, Most) = (count, mean, spread, least, most);

    public int Count { get; }

    /// <summary>In the unit of the observations.</summary>
    public double Mean { get; }

    /// <summary>Standard deviation of the sample (n − 1); 0 for a single one.</summary>
    public double Spread { get; }

    public double Least { get; }

    public double Most { get; }

    /// <summary>Whether there are enough to plan with.</summary>
    public bool IsEnough => Count >= Fewest;

    /// <summary>What the next piece takes less than, with 95 %; never less than the most seen.</summary>
    public double Safe => Math.Max(Most, Mean + Reach);

    /// <summary>What the next piece takes more than, with 95 %; never more than the least seen, and more than nothing.</summary>
    public double Low => Math.Min(Least, Math.Max(Mean - Reach, Least / 2));

    private double Reach => Count < 2 ? 0 : Quantile(Count - 1) * Spread * Math.Sqrt(1 + (1.0 / Count));

    /// <param name="observed">At least one, each finite and greater than 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">None, or one that is not greater than 0.</exception>
    public static OwnNeed Of(IReadOnlyCollection<double> observed)
    {
        Guard.InRange(observed.Count, 1, int.MaxValue, nameof(observed));
        foreach (double one in observed)
        {
            Guard.InRange(one, double.Epsilon, double.MaxValue, nameof(observed));
        }

        double mean = observed.Average();
        double spread = observed.Count < 2 ? 0 : Math.Sqrt(observed.Sum(x => (x - mean) * (x - mean)) / (observed.Count - 1));
        return new OwnNeed(observed.Count, mean, spread, observed.Min(), observed.Max());
    }

    /// <summary>Student's t that 95 % stay below; beyond the table its last value, which is a little too much.</summary>
    /// <param name="freedom">Degrees of freedom, 1 and more.</param>
    public static double Quantile(int freedom) => T95[Math.Min(freedom, T95.Length) - 1];
}
