using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Counts;

/// <summary>
/// From any count system to any other, through exact constants: 1 yd = 0.9144 m, 1 lb = 453.59237 g. The hanks are in
/// <see cref="CountSystem"/>. Standards: ISO 1144 (tex), ISO 2947 (conversion), ASTM D2260 (from memory).
/// </summary>
public static class CountConversion
{
    /// <summary>Thickest yarn, metres per 100 g. Judgement: thicker than any rope that is knitted.</summary>
    public const double MinMetresPer100Grams = 1;

    /// <summary>Finest yarn, metres per 100 g. Judgement: about one denier, a single fine filament.</summary>
    public const double MaxMetresPer100Grams = 1_000_000;

    private const double GramsPerPound = 453.59237;

    // Limits converted from one system into another must not fall out of range by a rounding error.
    private const double Slack = 1e-9;

    /// <summary>Length per mass of a yarn of this count.</summary>
    /// <param name="value">In the unit of the system, within <see cref="Range"/>.</param>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<LinearDensity> Density(CountSystem system, double value, string field = "count")
    {
        double metres = system.IsDirect() ? Constant(system) / value : Constant(system) * value;
        if (value > 0 && metres is >= MinMetresPer100Grams * (1 - Slack) and <= MaxMetresPer100Grams * (1 + Slack))
        {
            return LinearDensity.FromMetresPer100Grams(metres);
        }

        (double low, double high) = Range(system);
        return Refusal.Invalid(field, "{0} is no possible {1}: {2} to {3} is allowed. Check the number and the count system.", value, system.Name(), low, high);
    }

    /// <summary>The count of a yarn of this length per mass, unrounded.</summary>
    /// <exception cref="InvalidOperationException">The density is the default value, which is no yarn.</exception>
    public static double ValueOf(CountSystem system, LinearDensity density)
    {
        if (density.MetresPer100Grams <= 0)
        {
            throw new InvalidOperationException("A linear density that was never set has no count.");
        }

        return system.IsDirect() ? Constant(system) / density.MetresPer100Grams : density.MetresPer100Grams / Constant(system);
    }

    /// <summary>The same yarn in another system, unrounded; finite and greater than 0.</summary>
    /// <inheritdoc cref="Density" path="/param"/>
    public static Outcome<double> Convert(CountSystem from, double value, CountSystem to, string field = "value")
    {
        Outcome<LinearDensity> density = Density(from, value, field);
        return density.IsOk ? ValueOf(to, density.Value) : Outcome<double>.Refused(density.Refusals);
    }

    /// <summary>What is allowed in a system: 1 to 1,000,000 m per 100 g, in its unit, rounded inwards to four figures.</summary>
    public static (double Low, double High) Range(CountSystem system)
    {
        double thick = ValueOf(system, LinearDensity.FromMetresPer100Grams(MinMetresPer100Grams));
        double fine = ValueOf(system, LinearDensity.FromMetresPer100Grams(MaxMetresPer100Grams));
        return (Rounded(Math.Min(thick, fine), Math.Ceiling), Rounded(Math.Max(thick, fine), Math.Floor));
    }

    private static double Rounded(double value, Func<double, double> inwards)
    {
        int decimals = 3 - (int)Math.Floor(Math.Log10(value));
        decimal scale = (decimal)Math.Pow(10, Math.Abs(decimals));
        // A value that is whole but for its last bit must not move by a unit.
        double scaled = decimals >= 0 ? value * (double)scale : value / (double)scale;
        decimal figures = (decimal)(Math.Abs(scaled - Math.Round(scaled)) < 1e-6 ? Math.Round(scaled) : inwards(scaled));
        return (double)(decimals >= 0 ? figures / scale : figures * scale);
    }

    /// <summary>Metres per 100 g of count 1.</summary>
    private static double Constant(CountSystem system) => system switch
    {
        CountSystem.Cotton => Hank(840),
        CountSystem.Worsted => Hank(560),
        CountSystem.Lea or CountSystem.Cut => Hank(300),
        CountSystem.Run => Hank(1600),
        CountSystem.YardsPerPound => Hank(1),
        CountSystem.YardsPer100Grams => Quantities.Length.MetresPerYard,
        CountSystem.MetresPer100Grams => 1,
        CountSystem.Metric => 100,
        CountSystem.Tex => 100_000,
        CountSystem.Dtex => 1_000_000,
        CountSystem.Denier => 900_000,
        _ => throw new ArgumentOutOfRangeException(nameof(system), system, "Not a count system."),
    };

    private static double Hank(double yardsPerPound) => yardsPerPound * Quantities.Length.MetresPerYard * 100 / GramsPerPound;
}
