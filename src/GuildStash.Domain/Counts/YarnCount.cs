using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counts;

/// <summary>What the number before the plies of a folded count stands for.</summary>
public enum CountNotation
{
    /// <summary>The single strands, as nearly everywhere: Ne 8/2 is two strands of Ne 8.</summary>
    Singles = 0,

    /// <summary>The folded yarn itself, as for spun silk: 40/2 is a yarn of 40 made of two strands.</summary>
    Resultant = 1,
}

/// <summary>The count of a yarn, folded or single, with its resultant: the count of the whole yarn.</summary>
public sealed record YarnCount
{
    /// <summary>Most strands of a folded count. Judgement; above it neither number of "20/40" can be the plies.</summary>
    public const int MaxPlies = 12;

    private YarnCount(CountSystem system, double resultant, int plies, LinearDensity density, CountKind kind) =>
        (System, Resultant, Plies, Density, Kind) = (system, resultant, plies, density, kind);

    public CountSystem System { get; }

    /// <summary>Count of the whole yarn in <see cref="System"/>, unrounded.</summary>
    public double Resultant { get; }

    /// <summary>Strands folded together, 1 to 12.</summary>
    public int Plies { get; }

    public LinearDensity Density { get; }

    /// <summary>How far it may be trusted: reckoned from singles, or stated of the whole yarn as in R 40 tex / 2.</summary>
    public CountKind Kind { get; }

    /// <summary>The resultant in another system, unrounded.</summary>
    public double In(CountSystem system) => system == System ? Resultant : CountConversion.ValueOf(system, Density);

    /// <summary>A yarn of one strand, or whose resultant is stated.</summary>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<YarnCount> Single(CountSystem system, double value, string field = "count") => Of(system, value, 1, field, CountKind.Resultant);

    /// <summary>
    /// A folded count, "2/28" or "28/2": the plies are the smaller number either way round (common practice; rug warps and
    /// twines of more strands than their count are the exception, give those by their resultant).
    /// </summary>
    /// <param name="notation">What the other number stands for.</param>
    /// <inheritdoc cref="Single" path="/param"/>
    public static Outcome<YarnCount> Folded(CountSystem system, double first, double second, CountNotation notation = CountNotation.Singles, string field = "count")
    {
        if (!system.IsSpinners())
        {
            return Refusal.Invalid(field, "{0}/{1}: {2} are of the whole yarn, so give one number.", first, second, system.Name());
        }

        (double plies, double count) = first <= second ? (first, second) : (second, first);
        if (!IsPlies(plies))
        {
            (plies, count) = (count, plies);
        }

        if (!IsPlies(plies) || !(count > 0))
        {
            return Refusal.Invalid(field, "{0}/{1} is no folded count: the number of strands must be whole, 1 to {2}, and the count more than 0. Give the resultant of a yarn with more strands.", first, second, MaxPlies);
        }

        return notation == CountNotation.Resultant
            ? Of(system, count, (int)plies, field, CountKind.Resultant)
            : OfSingles(system, [.. Enumerable.Repeat(count, (int)plies)], field);
    }

    /// <summary>
    /// Strands twisted together, equal or different: 1/R = Σ 1/Nᵢ; for tex, dtex and denier R = Σ Nᵢ. The shortening by twist is
    /// not counted.
    /// </summary>
    /// <param name="singles">1 to 12 counts.</param>
    /// <inheritdoc cref="Single" path="/param"/>
    public static Outcome<YarnCount> OfSingles(CountSystem system, IReadOnlyList<double> singles, string field = "count")
    {
        if (singles.Count is 0 or > MaxPlies)
        {
            return Refusal.Invalid(field, "{0} strands: 1 to {1} are allowed.", singles.Count, MaxPlies);
        }

        foreach (double single in singles)
        {
            Outcome<LinearDensity> each = CountConversion.Density(system, single, field);
            if (!each.IsOk)
            {
                return each.Refusal;
            }
        }

        return Of(system, system.IsDirect() ? singles.Sum() : 1 / singles.Sum(single => 1 / single), singles.Count, field, singles.Count > 1 ? CountKind.Folded : CountKind.Resultant);
    }

    /// <summary>
    /// Reads "14", "30s", "2/28", "28x2", "60s + 40s", "R 40 tex / 2", with the system before, after or not in it; and "spun silk Ne 40/2", which
    /// names the folded yarn (in the metric count silk is written as any other yarn; from memory).
    /// </summary>
    /// <param name="system">System of the number; null when the text must name it, as "Nm 2/28" does.</param>
    /// <param name="notation">What the number beside the plies stands for.</param>
    /// <inheritdoc cref="Single" path="/param"/>
    public static Outcome<YarnCount> Parse(string? text, CountSystem? system = null, CountNotation notation = CountNotation.Singles, string field = "count") =>
        CountText.Parse(text, system, notation, field);

    private static bool IsPlies(double number) => number is >= 1 and <= MaxPlies && number == Math.Floor(number);

    private static Outcome<YarnCount> Of(CountSystem system, double resultant, int plies, string field, CountKind kind)
    {
        Outcome<LinearDensity> density = CountConversion.Density(system, resultant, field);
        return density.IsOk ? new YarnCount(system, resultant, plies, density.Value, kind) : density.Refusal;
    }
}
