using System.Diagnostics;
using Npgsql;

namespace GuildStash.Data.SafeKeeping;

/// <summary>The database that an archive is to go into: new, or with the tables of a program that nobody has used yet.</summary>
internal static class RestoreTarget
{
    private static readonly string[] Telling = ["guild", "person", "donation", "lot", "movement"];

    /// <summary>How long a session that ended just now may still be listed: whoever stops the program and restores at once is not turned away.</summary>
    private static readonly TimeSpan Leaving = TimeSpan.FromSeconds(3);

    /// <exception cref="SafeKeepingException">There is a guild or something else in it, or another program uses it.</exception>
    public static async Task CheckAsync(NpgsqlConnection connection, CancellationToken cancellation)
    {
        if (await IsUsedAsync(connection, cancellation))
        {
            throw new SafeKeepingException($"Another program is connected to the database {connection.Database}: stop GuildStash there first, then restore.");
        }

        bool ours = await ExistsAsync(connection, "\"__EFMigrationsHistory\"", cancellation);
        long tables = await Backup.ScalarAsync<long>(connection, "select count(*) from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p', 'v', 'm', 'f')", cancellation);
        if (tables > 0 && !ours)
        {
            throw new SafeKeepingException($"The database {connection.Database} holds tables of another program: restore into an empty database.");
        }

        foreach (string table in Telling)
        {
            if (await ExistsAsync(connection, table, cancellation) && await Backup.ScalarAsync<bool>(connection, $"select exists (select 1 from {table})", cancellation))
            {
                throw new SafeKeepingException(
                    $"The database {connection.Database} is not empty (table {table} has rows), and a restore never replaces a guild: restore into an empty data folder or a new database, for instance with --data DIR.");
            }
        }
    }

    private static async Task<bool> IsUsedAsync(NpgsqlConnection connection, CancellationToken cancellation)
    {
        long began = Stopwatch.GetTimestamp();

        // Servants of the server itself, such as its vacuum, have no role.
        while (await Backup.ScalarAsync<long>(
            connection, "select count(*) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid() and usename is not null", cancellation) > 0)
        {
            if (Stopwatch.GetElapsedTime(began) > Leaving)
            {
                return true;
            }

            await Task.Delay(100, cancellation);
        }

        return false;
    }

    /// <summary>Empties the schema. Call it only after <see cref="CheckAsync"/>, or to clear what a failed load left.</summary>
    public static Task MakeAnewAsync(NpgsqlConnection connection, CancellationToken cancellation) => Backup.RunAsync(
        connection, "drop schema if exists public cascade; create schema public authorization pg_database_owner; grant usage on schema public to public", cancellation);

    private static async Task<bool> ExistsAsync(NpgsqlConnection connection, string table, CancellationToken cancellation) =>
        await Backup.ScalarAsync<bool>(connection, $"select to_regclass('public.{table}') is not null", cancellation);
}
