using GuildStash.Domain.Rules;

namespace GuildStash.Printing;

/// <summary>Size of a label printed alone, on a page of just that size, for roll printers.</summary>
/// <param name="Width">Width, 40 to 210 mm.</param>
/// <param name="Height">Height, 25 to 297 mm.</param>
public sealed record LabelSize(double Width, double Height)
{
    /// <summary>63.5 × 38.1 mm, which is exactly 180 × 108 points.</summary>
    public static LabelSize Default { get; } = new(63.5, 38.1);

    /// <exception cref="ArgumentOutOfRangeException">Outside 40 to 210, or NaN.</exception>
    public double Width { get; } = Guard.InRange(Width, 40, 210, nameof(Width));

    /// <exception cref="ArgumentOutOfRangeException">Outside 25 to 297, or NaN.</exception>
    public double Height { get; } = Guard.InRange(Height, 25, 297, nameof(Height));
}
