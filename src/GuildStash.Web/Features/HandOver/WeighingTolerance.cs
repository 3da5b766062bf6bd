using GuildStash.Data.Guild;
using GuildStash.Data.Stock;

namespace GuildStash.Web.Features.HandOver;

/// <summary>How far scale and books may lie apart before somebody has to look.</summary>
internal static class WeighingTolerance
{
    /// <summary>Of a small mass no more than this share is put down to weighing (judgement).</summary>
    private const int LargestShare = 10;

    /// <summary>
    /// Milligrams: the guild's setting, of a small mass at most a tenth; or twice the division of the scale that weighed the lot where
    /// that is more, since both weighings round, but never more than the mass itself.
    /// </summary>
    /// <param name="mg">What the books have.</param>
    public static long Of(Lot lot, GuildSettings guild, long mg) => Of(guild.WeighingToleranceGrams, lot.ScaleDivisionMg, mg);

    /// <inheritdoc cref="Of(Lot, GuildSettings, long)"/>
    public static long Of(int guildGrams, long? scaleDivisionMg, long mg)
    {
        long weighing = Math.Max(Math.Min(guildGrams * 1000L, mg / LargestShare), 2 * (scaleDivisionMg ?? 0));
        return Math.Clamp(weighing, 0, Math.Max(0, mg));
    }
}
