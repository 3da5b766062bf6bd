using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.WeightClasses;

/// <summary>What a guild's own table must keep to, so that every wrap count has one class and a thicker yarn never promises more.</summary>
public static class WeightClassTableRules
{
    private const int LongestVersion = 32;
    private const string VersionField = "version";
    private const string RowsField = "rows";

    /// <summary>Name of a class's row in refusals: "rows.dk".</summary>
    public static string FieldOf(WeightClass weightClass) => $"{RowsField}.{weightClass.Key()}";

    /// <param name="version">Name of the table.</param>
    /// <param name="rows">Rows sorted by class.</param>
    /// <returns>A refusal for each broken rule, with field "version", "rows", or that of a class (see <see cref="FieldOf(WeightClass)"/>); empty when all is well.</returns>
    internal static IReadOnlyList<Refusal> Check(string version, IReadOnlyList<WeightClassRow> rows)
    {
        List<Refusal> refusals = [];
        int length = (version ?? "").Trim().Length;
        if (length is 0 or > LongestVersion)
        {
            refusals.Add(Refusal.Invalid(VersionField, "The name of the table has {0} characters: 1 to {1} are allowed.", length, LongestVersion));
        }
        else if (version!.Trim() == WeightClassTable.Default.Version)
        {
            refusals.Add(Refusal.Invalid(VersionField, "\"{0}\" is the name of the table that comes with the program. Give yours another, since figures are stored with it.", version.Trim()));
        }

        if (!rows.Select(row => row.WeightClass).SequenceEqual(Enum.GetValues<WeightClass>()))
        {
            refusals.Add(Refusal.Invalid(RowsField, "The table needs each class once: {0} rows were given for {1} classes.", rows.Count, Enum.GetValues<WeightClass>().Length));
            return refusals;
        }

        refusals.AddRange(rows.Where(row => !(row.Low < row.High)).Select(row =>
            Refusal.Invalid(FieldOf(row), "{0}: low ({1} to 100 g) must be less than high ({2}).", row.WeightClass.Name(), Shown(row.Low), Shown(row.High))));
        refusals.AddRange(rows.Where(row => row.Low.MetresPer100Grams < Band.MinMetresPer100Grams || row.High.MetresPer100Grams > Band.MaxMetresPer100Grams).Select(row =>
            Refusal.Invalid(FieldOf(row), "{0}: {1} to {2} in 100 g is out of range: {3} to {4} is allowed.", row.WeightClass.Name(), Shown(row.Low), Shown(row.High), Length.FromMetres(Band.MinMetresPer100Grams), Length.FromMetres(Band.MaxMetresPer100Grams))));
        WeightClassRow[] byWraps = [.. rows.Where(row => !IsHalfOfMedium(row))];
        refusals.AddRange(Cuts(byWraps));
        refusals.AddRange(Falling(byWraps));
        refusals.AddRange(MediumRefusals(rows));
        return refusals;
    }

    private static IEnumerable<Refusal> Cuts(WeightClassRow[] rows)
    {
        foreach (WeightClassRow row in rows.Where(row => !(row.WrapsAbove >= 0 && row.WrapsAbove < row.WrapsUpTo)))
        {
            yield return Refusal.Invalid(FieldOf(row), "{0}: wraps from {1} to {2} hold nothing. The first must be 0 or more and less than the second.", row.WeightClass.Name(), row.WrapsAbove, row.WrapsUpTo);
        }

        if (!double.IsPositiveInfinity(rows[0].WrapsUpTo))
        {
            yield return Refusal.Invalid(FieldOf(rows[0]), "{0} is the finest class: it must have no upper end of wraps, and ends at {1}.", rows[0].WeightClass.Name(), rows[0].WrapsUpTo);
        }

        if (rows[^1].WrapsAbove != 0)
        {
            yield return Refusal.Invalid(FieldOf(rows[^1]), "{0} is the thickest class: its wraps must begin at 0, and begin at {1}.", rows[^1].WeightClass.Name(), rows[^1].WrapsAbove);
        }

        foreach ((WeightClassRow thinner, WeightClassRow thicker) in rows.Zip(rows.Skip(1)).Where(pair => pair.First.WrapsAbove != pair.Second.WrapsUpTo))
        {
            yield return Refusal.Invalid(FieldOf(thicker), "{0} begins above {1} wraps, but {2} ends at {3}: both must be the same number, or wraps between them have no class or two.",
                thinner.WeightClass.Name(), thinner.WrapsAbove, thicker.WeightClass.Name(), thicker.WrapsUpTo);
        }
    }

    private static IEnumerable<Refusal> Falling(WeightClassRow[] rows) => rows.Zip(rows.Skip(1))
        .Where(pair => !(pair.Second.Low < pair.First.Low && pair.Second.High < pair.First.High))
        .Select(pair => Refusal.Invalid(FieldOf(pair.Second), "{0} must have less length to 100 g than {1}, at its low and at its high end: it is the thicker class.", pair.Second.WeightClass.Name(), pair.First.WeightClass.Name()));

    private static IEnumerable<Refusal> MediumRefusals(IReadOnlyList<WeightClassRow> rows)
    {
        WeightClassRow medium = rows[(int)WeightClass.Medium];
        WeightClassRow worsted = rows[(int)WeightClass.Worsted];
        WeightClassRow aran = rows[(int)WeightClass.Aran];
        foreach (WeightClassRow half in new[] { worsted, aran })
        {
            if (half.WrapsAbove != medium.WrapsAbove || half.WrapsUpTo != medium.WrapsUpTo)
            {
                yield return Refusal.Invalid(FieldOf(half), "{0} must have the wraps of \"{1}\": wraps can't tell worsted from aran.", half.WeightClass.Name(), medium.WeightClass.Name());
            }

            if (half.Low < medium.Low || half.High > medium.High)
            {
                yield return Refusal.Invalid(FieldOf(half), "{0} must lie within \"{1}\", which stands for both.", half.WeightClass.Name(), medium.WeightClass.Name());
            }
        }

        if (aran.Low > worsted.Low || aran.High > worsted.High)
        {
            yield return Refusal.Invalid(FieldOf(aran), "{0} must not have more length to 100 g than {1}, at its low or its high end: it is the thicker yarn.", aran.WeightClass.Name(), worsted.WeightClass.Name());
        }
    }

    private static bool IsHalfOfMedium(WeightClassRow row) => row.WeightClass is WeightClass.Worsted or WeightClass.Aran;

    private static string FieldOf(WeightClassRow row) => FieldOf(row.WeightClass);

    private static Length Shown(LinearDensity density) => Length.FromMetres(Math.Round(density.MetresPer100Grams, 1));
}
