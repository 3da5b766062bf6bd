namespace GuildStash.Domain.Projects;

/// <summary>How far round a hat is that fits a head, in centimetres: the head's circumference less the ease of the size table.</summary>
/// <param name="Least">The smallest head with most ease.</param>
/// <param name="Most">The largest head with least ease: what a length on the safe side is reckoned with.</param>
public readonly record struct HatRound(double Least, double Most)
{
    /// <summary>Halfway between.</summary>
    public double Middle => (Least + Most) / 2;

    /// <param name="head">A row of kind "head".</param>
    /// <param name="sizes">Where the row "hat ease" is missing, nothing is taken off.</param>
    /// <exception cref="ArgumentException">The row is no size.</exception>
    public static HatRound For(PieceSize head, PieceSizes sizes)
    {
        (double low, double high) = head.InCentimetres() ?? throw new ArgumentException("A head is measured in centimetres or inches.", nameof(head));
        (double least, double most) = sizes.Of(PieceSizes.EaseKind).FirstOrDefault()?.InCentimetres() ?? (0, 0);
        return new(low - most, high - least);
    }
}
