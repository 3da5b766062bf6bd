using GuildStash.Data.Guild;
using GuildStash.Data.Stock;

namespace GuildStash.Web.Features.HandOver;

/// <summary>How far scale and books may lie apart before somebody has to look.</summary>
internal static class WeighingTolerance
{
    /// <summary>
    /// Milligrams: the guild's setting, or twice the division of the scale that weighed the lot where that is more, since both
    /// weighings round.
    /// </summary>
    public static long Of(Lot lot, GuildSettings guild) => Of(guild.WeighingToleranceGrams, lot.ScaleDivisionMg);

    /// <inheritdoc cref="Of(Lot, GuildSettings)"/>
    public static long Of(int guildGrams, long? scaleDivisionMg) => Math.Max(guildGrams * 1000L, 2 * (scaleDivisionMg ?? 0));
}
