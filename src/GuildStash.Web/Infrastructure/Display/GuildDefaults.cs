using GuildStash.Data.Guild;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// How the guild reads where a person chose nothing, and the zone in which everybody reads times. Kept in memory, since every
/// request needs it; to be set in the act that changes the guild's settings, other nodes follow by <see cref="GuildDefaultsJob"/>.
/// </summary>
public sealed class GuildDefaults
{
    private volatile Values _now = new(TimeZoneInfo.Utc, null, null, false);

    public TimeZoneInfo Zone => _now.Zone;

    /// <summary>Null until the guild is set up.</summary>
    public string? Culture => _now.Culture;

    /// <summary>Null until the guild is set up.</summary>
    public LengthUnit? LengthUnit => _now.LengthUnit;

    /// <summary>Whether everybody may see which yarn is wanted.</summary>
    public bool WantedIsPublic => _now.WantedIsPublic;

    public void Set(GuildSettings guild) => _now = new(GuildClock.Zone(guild), guild.Culture, guild.LengthUnit, guild.WantedIsPublic);

    private sealed record Values(TimeZoneInfo Zone, string? Culture, LengthUnit? LengthUnit, bool WantedIsPublic);
}
