using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>How a count names a yarn, which decides how far it may be trusted.</summary>
public enum CountKind
{
    /// <summary>A resultant stated as such: tex, dtex, denier, or a count of the folded yarn.</summary>
    Resultant = 0,

    /// <summary>A resultant reckoned from the singles and their number, as in Nm 2/28: twisting takes up a little of the length.</summary>
    Folded = 1,

    /// <summary>A name of thickness such as "8 ply" or namibuto, which varies by maker.</summary>
    TradeName = 2,
}

/// <summary>A count, already turned into the length per mass of the yarn as it lies in the ball.</summary>
public sealed record CountReading
{
    private CountReading(LinearDensity density, CountKind kind) => (Density, Kind) = (density, kind);

    /// <summary>5 to 20,000 m per 100 g.</summary>
    public LinearDensity Density { get; }

    public CountKind Kind { get; }

    /// <returns>The reading, or a refusal with field "count".</returns>
    public static Outcome<CountReading> Create(LinearDensity density, CountKind kind) =>
        density.MetresPer100Grams is >= Band.MinMetresPer100Grams and <= Band.MaxMetresPer100Grams && Enum.IsDefined(kind)
            ? new CountReading(density, kind)
            : Refusal.Invalid("count", "The count comes to {0} m to 100 g: {1} to {2:N0} is allowed. Check the system and the plies.", Math.Round(density.MetresPer100Grams, 1), Band.MinMetresPer100Grams, Band.MaxMetresPer100Grams);
}
