using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>What class and wraps say of length before anything was measured: a mixture of the table's rows.</summary>
internal static class ClassPrior
{
    /// <summary>
    /// Rows weighted by the probability that the true wraps lie in them and, if a person named a class, by how often that name is
    /// given to yarn of the row. Wraps can't tell worsted from aran: a person's word for either chooses its row within class 4.
    /// </summary>
    public static LengthMixture FromWraps(in WrapReading wraps, WeightClass? named, WeightClassTable table, in LearntLine line, in FibreBulk bulk)
    {
        IReadOnlyList<WeightClassRow> rows = table.RowsByWraps;
        LengthMixture mixture = default;
        for (int i = 0; i < rows.Count; i++)
        {
            WeightClassRow row = rows[i];
            double chance = wraps.ChanceOf(row);
            if (named is { } name)
            {
                row = row.WeightClass == WeightClass.Medium && ClassNaming.IsClassFour(name) ? table.Row(name) : row;
                chance *= ClassNaming.Chance(name, row.WeightClass);
            }

            (double mean, double sd) = line.Expect(row, wraps.Log, bulk);
            mixture.Add(new(chance, mean, sd, sd, row.WeightClass));
        }

        mixture.Normalise();
        return mixture;
    }

    /// <summary>A lone name is taken at its word: its row is what names have been found to mean.</summary>
    public static LengthMixture FromName(WeightClass named, WeightClassTable table, in LearntLine line, in FibreBulk bulk)
    {
        WeightClassRow row = table.Row(named);
        (double mean, double sd) = line.Expect(row, CentreLog(row), bulk);
        return LengthMixture.Single(new(1, mean, sd, sd, named));
    }

    /// <summary>
    /// ln of the wraps in the middle of a row; a judgement for the two open ends: a quarter above the finest class's cut (28), and two
    /// thirds of the thickest one's (3).
    /// </summary>
    public static double CentreLog(WeightClassRow row) =>
        double.IsPositiveInfinity(row.WrapsUpTo) ? Math.Log(row.WrapsAbove * 1.25)
        : row.WrapsAbove <= 0 ? Math.Log(row.WrapsUpTo * 2 / 3)
        : (Math.Log(row.WrapsAbove) + Math.Log(row.WrapsUpTo)) / 2;
}
