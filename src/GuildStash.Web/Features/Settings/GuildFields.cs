using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Settings;

/// <summary>Rules for the guild's fields, shared by set-up, settings and preferences.</summary>
internal static class GuildFields
{
    private const int LongestZone = 64;
    private const int MostCandidates = 6;

    /// <summary>Zones of the tz database, such as Europe/London, in the order of their names.</summary>
    public static IReadOnlyList<string> Zones { get; } =
        [.. TimeZoneInfo.GetSystemTimeZones().Where(zone => zone.HasIanaId && zone.Id.Contains('/', StringComparison.Ordinal)).Select(zone => zone.Id).Order(StringComparer.Ordinal)];

    /// <summary>
    /// The zone that was meant: its whole name, or its city alone where only one zone has it, in small or capital letters. Zones of the tz
    /// database only: PostgreSQL and other programs know these names, not those of one vendor.
    /// </summary>
    /// <returns>What was typed, where it is refused.</returns>
    public static string Zone(string typed, Check check)
    {
        string name = typed.Trim();
        string[] meant = [.. Zones.Where(zone => Same(zone, name))];
        meant = meant.Length > 0 ? meant : [.. Zones.Where(zone => Same(City(zone), name))];
        if (meant.Length == 1)
        {
            return meant[0];
        }

        if (name.Length <= LongestZone && TimeZoneInfo.TryFindSystemTimeZoneById(name, out TimeZoneInfo? found) && found.HasIanaId)
        {
            return name;
        }

        string[] near = meant.Length > 0 ? meant : name.Length < 3 ? [] : [.. Zones.Where(zone => Spaced(zone).Contains(Spaced(name), StringComparison.OrdinalIgnoreCase)).Take(MostCandidates)];
        check.That(near.Length > 0, "timeZone", "\"{0}\" is no time zone. Use a name such as Europe/London.", Shorten(name));
        check.That(near.Length == 0, "timeZone", "\"{0}\" is no whole name of a time zone. Type one of these: {1}.", Shorten(name), string.Join(", ", near));
        return name;
    }

    private static bool Same(string zone, string typed) => Spaced(zone).Equals(Spaced(typed), StringComparison.OrdinalIgnoreCase);

    private static string City(string zone) => zone[(zone.LastIndexOf('/') + 1)..];

    private static string Spaced(string zone) => zone.Replace('_', ' ');

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
