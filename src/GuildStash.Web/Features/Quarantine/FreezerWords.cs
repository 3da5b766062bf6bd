using System.Globalization;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Quarantine;

/// <summary>What the freezer's pages say, and its times on the guild's wall clock.</summary>
public static class FreezerWords
{
    public static Phrase Of(FreezerCandidate candidate) => candidate.IsBag
        ? new("bag, fibre unknown")
        : new(candidate.Concern switch
        {
            FibreConcern.Animal => "animal fibre",
            FibreConcern.Blend => "blend with animal fibre",
            FibreConcern.Unknown => "fibre unknown",
            _ => "not eaten by moths",
        });

    /// <summary>To a tenth, with a true minus sign in every language.</summary>
    public static string Celsius(decimal celsius, CultureInfo culture) =>
        (celsius <= -0.05m ? "−" : "") + Math.Abs(celsius).ToString("0.#", culture);

    /// <summary>What was typed on the guild's wall clock; an hour that the clock skips in spring counts as the one after it.</summary>
    public static DateTimeOffset? Utc(DateTime? wall, TimeZoneInfo zone)
    {
        if (wall is not { } typed)
        {
            return null;
        }

        DateTime local = DateTime.SpecifyKind(typed, DateTimeKind.Unspecified);
        return new DateTimeOffset(TimeZoneInfo.ConvertTimeToUtc(zone.IsInvalidTime(local) ? local.AddHours(1) : local, zone), TimeSpan.Zero);
    }

    /// <summary>The moment on the guild's wall clock, to the minute.</summary>
    public static DateTime Local(DateTimeOffset moment, TimeZoneInfo zone)
    {
        DateTime local = TimeZoneInfo.ConvertTime(moment, zone).DateTime;
        return local.AddTicks(-(local.Ticks % TimeSpan.TicksPerMinute));
    }
}
