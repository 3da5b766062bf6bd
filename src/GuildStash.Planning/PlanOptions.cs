using GuildStash.Domain.Rules;

namespace GuildStash.Planning;

/// <summary>How long and how a plan is sought.</summary>
public sealed record PlanOptions
{
    public const int MostSeconds = 3_600;

    private readonly double _seconds = 20;
    private readonly int _workers = 8;

    public static PlanOptions Default { get; } = new();

    /// <summary>Time for all stages together; 0.1 to 3,600, 20 unless set. The best answer by then is kept.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public double Seconds
    {
        get => _seconds;
        init => _seconds = Guard.InRange(value, 0.1, MostSeconds, nameof(Seconds));
    }

    /// <summary>
    /// With a number the same problem gives the same answer: the search's parts take fixed turns, and its time is counted in steps that
    /// take about as long as seconds on an idle machine. Null searches as fast as it can.
    /// </summary>
    public int? Seed { get; init; }

    /// <summary>Strategies that the solver runs side by side, whatever the number of cores: 1 to 64, 8 unless set.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public int Workers
    {
        get => _workers;
        init => _workers = (int)Guard.InRange((long)value, 1L, 64L, nameof(Workers));
    }

    /// <summary>
    /// Lots in joined slices up to which the full model proves its answer by itself, sooner than patterns of lots do. Tests set −1, so that what
    /// can be tried out in full goes through patterns as well.
    /// </summary>
    internal long PatternsBeyond { get; init; } = 50;

    /// <summary>Seed of the simulation of running short, where <see cref="Seed"/> is null.</summary>
    public const int DrawsSeed = 20_26;
}

/// <summary>How far a plan has come.</summary>
/// <param name="Stage">The stage that is being settled.</param>
/// <param name="Best">Its best value so far; see <see cref="PlanLevel.Value"/>.</param>
/// <param name="Bound">What it can't be better than; null as long as nothing is proven.</param>
/// <param name="SoFar">
/// Writes the best plan at this moment in full, for whoever wants to keep it; on any thread, then or later. The same function as long as
/// the plan is the same. It has the stages that were settled by then.
/// </param>
public readonly record struct PlanProgress(PlanStage Stage, double Best, double? Bound, Func<PlanAnswer> SoFar);
