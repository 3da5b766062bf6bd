namespace GuildStash.Web.Infrastructure.Display;

/// <summary>The guild's time zone, in which every moment is shown. <see cref="GuildZoneKeeper"/> reads it; who changes the setting sets it at once.</summary>
public sealed class GuildZone
{
    private volatile TimeZoneInfo _zone = TimeZoneInfo.Utc;

    public TimeZoneInfo Zone => _zone;

    /// <param name="id">An IANA name such as "Europe/Berlin".</param>
    /// <exception cref="TimeZoneNotFoundException">The system knows no such zone.</exception>
    public void Set(string id) => _zone = TimeZoneInfo.FindSystemTimeZoneById(id);
}
