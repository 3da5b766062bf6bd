namespace GuildStash.Domain.Yardage;

/// <summary>
/// All that the lots of one fibre group have taught, as sums over weighted regressors v = (v₁, v₂) and responses z; see
/// <see cref="LearntLine"/>. Seven numbers that may be stored.
/// </summary>
/// <param name="Lots">How many lots.</param>
/// <param name="V11">Σ v₁².</param>
/// <param name="V12">Σ v₁v₂.</param>
/// <param name="V22">Σ v₂².</param>
/// <param name="Z1">Σ v₁z.</param>
/// <param name="Z2">Σ v₂z.</param>
/// <param name="Zz">Σ z².</param>
public readonly record struct FibreGroupStatistics(double Lots, double V11, double V12, double V22, double Z1, double Z2, double Zz)
{
    public static FibreGroupStatistics Nothing => default;

    /// <summary>Adds one observation, counted with a weight of 0 to 1.</summary>
    internal FibreGroupStatistics With(double weight, double v1, double v2, double z) => new(
        Lots + weight,
        V11 + (weight * v1 * v1),
        V12 + (weight * v1 * v2),
        V22 + (weight * v2 * v2),
        Z1 + (weight * v1 * z),
        Z2 + (weight * v2 * z),
        Zz + (weight * z * z));
}
