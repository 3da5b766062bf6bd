using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>
/// A wrap count as it was taken: yarn rolled snugly onto a smooth rod, wraps touching, counted over the middle; repeated over
/// the same length. Count, length and repeats are kept, not just the ratio, so that the spread stays known.
/// </summary>
public sealed record Wraps
{
    public const int MinCount = 1;
    public const int MaxCount = 200;
    public const decimal MinInches = 0.5m;
    public const int MaxInches = 12;
    public const int MinPerInch = 1;
    public const int MaxPerInch = 100;
    public const int MaxRepeats = 20;

    private Wraps(decimal count, decimal inches, IReadOnlyList<decimal> repeats) => (Count, Inches, Repeats) = (count, inches, repeats);

    /// <summary>Wraps of the first count, 1 to 200.</summary>
    public decimal Count { get; }

    /// <summary>Length counted over, 0.5 to 12 in.</summary>
    public decimal Inches { get; }

    /// <summary>Further counts over the same length; may be empty.</summary>
    public IReadOnlyList<decimal> Repeats { get; }

    /// <summary>Wraps per inch: the mean of the count and its repeats, over the length; 1 to 100.</summary>
    public double PerInch => (double)((Count + Repeats.Sum()) / (1 + Repeats.Count) / Inches);

    /// <returns>The wraps, or a refusal for each value out of range, with fields "wraps.count", "wraps.inches", "wraps.repeats".</returns>
    public static Outcome<Wraps> Create(decimal count, decimal inches, IReadOnlyList<decimal>? repeats = null)
    {
        decimal[] further = repeats is null ? [] : [.. repeats];
        List<Refusal> refusals = [];
        if (!IsCount(count))
        {
            refusals.Add(CountRefusal("wraps.count", count));
        }

        if (inches is < MinInches or > MaxInches)
        {
            refusals.Add(Refusal.Invalid("wraps.inches", "Wraps counted over {0} in: {1} to {2} in is allowed, 1 or 2 in is usual.", inches, MinInches, MaxInches));
        }

        if (further.Length > MaxRepeats)
        {
            refusals.Add(Refusal.Invalid("wraps.repeats", "{0} repeats of a wrap count: at most {1} are kept, 3 are enough.", further.Length, MaxRepeats));
        }

        refusals.AddRange(further.Where(repeat => !IsCount(repeat)).Take(1).Select(repeat => CountRefusal("wraps.repeats", repeat)));
        if (refusals.Count > 0)
        {
            return Outcome<Wraps>.Refused(refusals);
        }

        Wraps wraps = new(count, inches, further);
        return wraps.PerInch is >= MinPerInch and <= MaxPerInch
            ? wraps
            : Refusal.Invalid("wraps.count", "{0} wraps per inch: {1} to {2} is allowed. Check the count and the length it was taken over.", Math.Round(wraps.PerInch, 2), MinPerInch, MaxPerInch);
    }

    public bool Equals(Wraps? other) =>
        other is not null && Count == other.Count && Inches == other.Inches && Repeats.SequenceEqual(other.Repeats);

    public override int GetHashCode() => HashCode.Combine(Count, Inches, Repeats.Count);

    private static bool IsCount(decimal count) => count is >= MinCount and <= MaxCount;

    private static Refusal CountRefusal(string field, decimal count) =>
        Refusal.Invalid(field, "{0} wraps: {1} to {2} is allowed.", count, MinCount, MaxCount);
}
