using Npgsql;

namespace GuildStash.Data.SafeKeeping;

/// <summary>The figures by which a restored guild is known to be the one that was dumped.</summary>
internal static class BookFigures
{
    /// <summary>All tables and columns have been there since the first migration, so that an older schema can be asked too.</summary>
    private static readonly (string Name, string Question)[] Questions =
    [
        ("people", "select count(*) from person"),
        ("donations", "select count(*) from donation"),
        ("bags", "select count(*) from bag"),
        ("lots", "select count(*) from lot"),
        ("movements", "select count(*) from movement"),
        ("holds", "select count(*) from hold"),
        ("checkouts", "select count(*) from checkout"),
        ("unsortedMg", "select coalesce(sum(unsorted_mg), 0)::bigint from bag"),
        ("onHandMg", "select coalesce(sum(on_hand_mg), 0)::bigint from lot"),
        ("quarantinedMg", "select coalesce(sum(quarantined_mg), 0)::bigint from lot"),
        ("heldMg", "select coalesce(sum(held_mg), 0)::bigint from lot"),
        ("atHomeMg", "select coalesce(sum(at_home_mg), 0)::bigint from checkout"),
        ("movedMg", "select coalesce(sum(mg), 0)::bigint from movement"),
    ];

    public static async Task<IReadOnlyDictionary<string, long>> ReadAsync(NpgsqlConnection connection, CancellationToken cancellation)
    {
        Dictionary<string, long> figures = [];
        foreach ((string name, string question) in Questions)
        {
            // The texts are constants of this file.
            await using NpgsqlCommand command = new(question, connection) { CommandTimeout = 0 };
            figures[name] = (long)(await command.ExecuteScalarAsync(cancellation))!;
        }

        return figures;
    }

    /// <summary>One sentence for each figure that is not as the manifest says.</summary>
    public static IReadOnlyList<string> Differences(IReadOnlyDictionary<string, long> written, IReadOnlyDictionary<string, long> present) =>
        [.. written.Where(w => present.TryGetValue(w.Key, out long now) && now != w.Value)
            .Select(w => FormattableString.Invariant($"{w.Key}: the archive says {w.Value}, the restored database has {present[w.Key]}."))];
}
