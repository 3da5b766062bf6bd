using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Settings;

/// <summary>Rules for the guild's fields, shared by set-up, settings and preferences.</summary>
internal static class GuildFields
{
    /// <summary>Zones of the tz database only: PostgreSQL and other programs know these names, not those of one vendor.</summary>
    public static void CheckZone(string zone, Check check) =>
        check.That(
            TimeZoneInfo.TryFindSystemTimeZoneById(zone, out TimeZoneInfo? found) && found.HasIanaId && zone.Length <= 64,
            "timeZone", "\"{0}\" is no time zone. Use a name such as Europe/London.", Shorten(zone));

    public static void CheckCulture(string culture, Check check) =>
        check.That(LocalisationServices.Cultures.Contains(culture), "culture", "\"{0}\" is no culture this program knows.", Shorten(culture));

    /// <summary>A whole number within its range; what was typed may have decimals.</summary>
    public static int Whole(decimal? typed, string field, int least, int most, Check check)
    {
        check.That(typed is not null, field, "This is needed. Fill it in.");
        check.That(typed is null || (typed == decimal.Truncate(typed.Value) && typed >= least && typed <= most), field,
            "{0} can't be taken here; allowed are whole numbers from {1} to {2}.", typed ?? 0, least, most);
        return check.Failed ? least : (int)typed!.Value;
    }

    private static string Shorten(string typed) => typed.Length <= 60 ? typed : typed[..60] + "…";
}
