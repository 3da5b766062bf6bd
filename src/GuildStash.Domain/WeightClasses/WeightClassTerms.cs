using GuildStash.Domain.Rules;

namespace GuildStash.Domain.WeightClasses;

/// <summary>Keys, names and the few facts that a class carries without a guild's table.</summary>
public static class WeightClassTerms
{
    private static readonly Terms<WeightClass> Words = new(
        (WeightClass.Lace, "lace", "Lace"),
        (WeightClass.Fingering, "fingering", "Fingering"),
        (WeightClass.Sport, "sport", "Sport"),
        (WeightClass.Dk, "dk", "DK"),
        (WeightClass.Worsted, "worsted", "Worsted"),
        (WeightClass.Aran, "aran", "Aran"),
        (WeightClass.Medium, "medium", "Worsted or aran"),
        (WeightClass.Bulky, "bulky", "Bulky"),
        (WeightClass.SuperBulky, "superBulky", "Super bulky"),
        (WeightClass.Jumbo, "jumbo", "Jumbo"));

    /// <summary>The classes as a sentence lists them: each once, and worsted and aran not beside "worsted or aran", which says both.</summary>
    public static IReadOnlyList<WeightClass> InWords(this IEnumerable<WeightClass> classes)
    {
        WeightClass[] each = [.. classes.Distinct()];
        return each.Contains(WeightClass.Medium) ? [.. each.Where(c => c is not (WeightClass.Worsted or WeightClass.Aran))] : each;
    }

    public static IReadOnlyCollection<string> Keys => Words.Keys;

    public static string Key(this WeightClass weightClass) => Words.Key(weightClass);

    public static Phrase Name(this WeightClass weightClass) => Words.Name(weightClass);

    public static bool TryParse(string? key, out WeightClass weightClass) => Words.TryParse(key, out weightClass);

    /// <summary>Number 0 to 7 in the Standard Yarn Weight System (Craft Yarn Council); worsted, aran and medium share 4.</summary>
    public static int StandardNumber(this WeightClass weightClass) => weightClass switch
    {
        WeightClass.Worsted or WeightClass.Aran or WeightClass.Medium => 4,
        < WeightClass.Worsted => (int)weightClass,
        _ => (int)weightClass - 2,
    };

    /// <summary>
    /// Wraps per inch to draw a strand with, its width in proportion to 1/wraps. The middle of the snug range (common practice);
    /// for lace, jumbo, and to tell worsted from aran, a judgement. Never used to compute a length.
    /// </summary>
    public static double TypicalWraps(this WeightClass weightClass) => weightClass switch
    {
        WeightClass.Lace => 28,
        WeightClass.Fingering => 20.5,
        WeightClass.Sport => 16.5,
        WeightClass.Dk => 13,
        WeightClass.Worsted => 10.5,
        WeightClass.Medium => 10,
        WeightClass.Aran => 9.5,
        WeightClass.Bulky => 7.5,
        WeightClass.SuperBulky => 5.5,
        WeightClass.Jumbo => 3,
        _ => throw new ArgumentOutOfRangeException(nameof(weightClass), weightClass, "Not a weight class."),
    };
}
