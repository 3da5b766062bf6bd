using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// What a yarn's fibres say of its length beside its thickness. Wraps, a gauge and the name of a class tell how thick a yarn is; how
/// long 100 g of that thickness are goes with what fills it: k = 0.21583/ρ at a given count of wraps (computed), ρ being the yarn's
/// apparent density, fibre and air together. A denser fibre makes the yarn denser, but not in proportion, since the air in it differs, too.
/// </summary>
/// <param name="Shift">Added to ln(metres per 100 g) of every row of the table; negative for fibres denser than wool.</param>
/// <param name="Sd">Standard deviation of that shift.</param>
public readonly record struct FibreBulk(double Shift, double Sd)
{
    /// <summary>
    /// g/cm³ of what the table's yarns are taken to be made of: wool (density: Morton and Hearle; that the trade's tables are those of
    /// wool is a judgement, since they are older than most other knitting yarn).
    /// </summary>
    public const double TablesDensity = 1.31;

    /// <summary>
    /// How far a yarn's apparent density follows that of its fibres: half. A judgement: at equal bulk it would be all of it, but the
    /// table's ranges were taken from yarns of every fibre, and a maker names a yarn by its length, too.
    /// </summary>
    public const double Follows = 0.5;

    /// <summary>Standard deviation of <see cref="Follows"/> from yarn to yarn: a quarter, so that "not at all" and "all of it" are both 2 of them away. A judgement.</summary>
    public const double FollowsSd = 0.25;

    /// <summary>Whether the fibres say anything.</summary>
    public bool IsKnown => Shift != 0;

    /// <summary>Nothing where a fibre, its share or its density is not known.</summary>
    public static FibreBulk Of(FibreContent content)
    {
        if (FibreDensity.Of(content) is not { } density)
        {
            return default;
        }

        double denser = Math.Log(TablesDensity / density);
        return new(Follows * denser, FollowsSd * Math.Abs(denser));
    }

    /// <summary>A standard deviation of ln(metres per 100 g) with this one's error in quadrature; exactly itself where the fibres say nothing.</summary>
    internal double Widened(double sd) => Sd == 0 ? sd : Math.Sqrt((sd * sd) + (Sd * Sd));
}
