using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>
/// How often a person names a class when the yarn is of another one. A judgement: four of five names are right, most wrong ones are
/// the neighbour, and worsted and aran are taken for each other more often than other neighbours.
/// </summary>
internal static class ClassNaming
{
    private const double Right = 0.80;
    private const double SameNumber = 0.30;
    private const double OneStep = 0.09;
    private const double TwoSteps = 0.008;
    private const double Farther = 0.002;

    public static double Chance(WeightClass named, WeightClass actual) => Steps(named, actual) switch
    {
        0 => named == actual || named == WeightClass.Medium || actual == WeightClass.Medium ? Right : SameNumber,
        1 => OneStep,
        2 => TwoSteps,
        _ => Farther,
    };

    /// <summary>How many numbers of the standard system lie between two classes.</summary>
    public static int Steps(WeightClass a, WeightClass b) => Math.Abs(a.StandardNumber() - b.StandardNumber());

    /// <summary>The probability of each class, given nothing but the name.</summary>
    public static ClassChances Chances(WeightClass named)
    {
        bool tellsAran = named is WeightClass.Worsted or WeightClass.Aran;
        ClassChances chances = default;
        for (WeightClass each = WeightClass.Lace; each <= WeightClass.Jumbo; each++)
        {
            if (IsTold(each, tellsAran))
            {
                chances.Add(each, Chance(named, each));
            }
        }

        chances.Normalise();
        return chances;
    }

    /// <summary>Whether a class is among the answers: worsted and aran, or "worsted or aran" in their place.</summary>
    public static bool IsTold(WeightClass weightClass, bool tellsAran) =>
        !IsClassFour(weightClass) || (weightClass == WeightClass.Medium) != tellsAran;

    public static bool IsClassFour(WeightClass weightClass) => weightClass is WeightClass.Worsted or WeightClass.Aran or WeightClass.Medium;
}
