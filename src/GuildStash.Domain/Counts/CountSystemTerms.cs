using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counts;

/// <summary>Keys and names of the count systems.</summary>
public static class CountSystemTerms
{
    private static readonly Terms<CountSystem> Words = new(
        (CountSystem.Cotton, "Ne", "cotton count (Ne)"),
        (CountSystem.Worsted, "worsted", "worsted count (NeK)"),
        (CountSystem.Lea, "lea", "linen lea"),
        (CountSystem.Run, "run", "woollen run"),
        (CountSystem.Cut, "cut", "woollen cut"),
        (CountSystem.Metric, "Nm", "metric count (Nm)"),
        (CountSystem.Tex, "tex", "tex"),
        (CountSystem.Dtex, "dtex", "dtex"),
        (CountSystem.Denier, "denier", "denier"),
        (CountSystem.MetresPer100Grams, "m/100g", "metres per 100 g"),
        (CountSystem.YardsPer100Grams, "yd/100g", "yards per 100 g"),
        (CountSystem.YardsPerPound, "yd/lb", "yards per pound"));

    private static readonly Dictionary<string, CountSystem> Aliases = new(StringComparer.OrdinalIgnoreCase)
    {
        ["NeC"] = CountSystem.Cotton,
        ["NeB"] = CountSystem.Cotton,
        ["cotton"] = CountSystem.Cotton,
        ["NeK"] = CountSystem.Worsted,
        ["NeW"] = CountSystem.Worsted,
        ["NeL"] = CountSystem.Lea,
        ["linen"] = CountSystem.Lea,
        ["den"] = CountSystem.Denier,
        ["td"] = CountSystem.Denier,
    };

    public static IReadOnlyCollection<string> Keys => Words.Keys;

    public static string Key(this CountSystem system) => Words.Key(system);

    public static Phrase Name(this CountSystem system) => Words.Name(system);

    /// <summary>A key as the API writes it, upper and lower case counting as the same, or a usual abbreviation such as NeK or den.</summary>
    public static bool TryParse(string? key, out CountSystem system) =>
        Words.TryParse(key, out system) || (key is not null && Aliases.TryGetValue(key.Trim(), out system));

    /// <returns>The system, or a refusal that lists all keys.</returns>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<CountSystem> Parse(string? key, string field) => TryParse(key, out CountSystem system)
        ? system
        : Refusal.Invalid(field, "\"{0}\" is not a known count system. Known are {1}.", CountText.Shortened(key), string.Join(", ", Keys));

    /// <summary>Mass of a fixed length (tex, dtex, denier): the strands of a folded yarn add up.</summary>
    public static bool IsDirect(this CountSystem system) => system is CountSystem.Tex or CountSystem.Dtex or CountSystem.Denier;

    /// <summary>A spinner's count, which a band may state folded; false for plain lengths per mass, which are always of the whole yarn.</summary>
    public static bool IsSpinners(this CountSystem system) =>
        system is not (CountSystem.MetresPer100Grams or CountSystem.YardsPer100Grams or CountSystem.YardsPerPound);
}
