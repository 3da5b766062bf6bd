using System.Text.RegularExpressions;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Design;
using Microsoft.EntityFrameworkCore.Diagnostics;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Microsoft.EntityFrameworkCore.Migrations;
using Microsoft.EntityFrameworkCore.Storage;
using Npgsql;

namespace GuildStash.Data;

/// <summary>Options, migration and grants of the guild's database.</summary>
public static partial class GuildDatabase
{
    /// <summary>Key of the advisory lock under which one node migrates while the others wait.</summary>
    internal const long MigrationLock = 0x4755494C44535431;

    /// <summary>Seconds that one statement of a migration may take: an index over millions of movements takes minutes.</summary>
    private const int LongestMigrationSeconds = 3600;

    /// <summary>Seconds that a migration waits for a table that others work on. Meanwhile those who come after it wait too, so it gives up in time (a judgement).</summary>
    private const int LongestWaitSeconds = 20;

    /// <summary>
    /// Connections that one node keeps at most. A server takes 100 in all, unless told otherwise, and turns the next one away with an
    /// error; whoever waits for one of these is only slower.
    /// </summary>
    private const int MostConnections = 40;

    /// <summary>
    /// The options of every context, alike for all, since for other ones the model would be built once more. Of migrations it does not ask whether
    /// they come in one transaction, which <see cref="MigrateAsync(string, string, CancellationToken)"/> sees to, nor whether the classes were
    /// changed without one, which a test asks: it would be part of each start.
    /// </summary>
    public static DbContextOptionsBuilder UseGuildDatabase(this DbContextOptionsBuilder options, string connectionString) => options
        .UseNpgsql(ForShortQuestions(connectionString))
        .UseSnakeCaseNamingConvention()
        .ConfigureWarnings(warnings => warnings.Ignore(RelationalEventId.MigrationsUserTransactionWarning, RelationalEventId.PendingModelChangesWarning));

    /// <summary>
    /// The connection set for questions that take milliseconds, with few connections kept, unless it brings options of its own. Compiling
    /// one of them just in time took 195 ms; workers beside it cost more than they do as soon as somebody else uses the processors; and a
    /// room's tables are in memory, where a page out of order costs hardly more than the next one (see docs/performance.md).
    /// </summary>
    public static string ForShortQuestions(string connectionString)
    {
        NpgsqlConnectionStringBuilder connection = new(connectionString);
        connection.Options = string.IsNullOrEmpty(connection.Options) ? "-c jit=off -c max_parallel_workers_per_gather=0 -c random_page_cost=1.1" : connection.Options;
        if (!connection.ShouldSerialize("Maximum Pool Size"))
        {
            connection.MaxPoolSize = MostConnections;
        }

        return connection.ConnectionString;
    }

    /// <summary>Names of all migrations that this program knows, the oldest first.</summary>
    public static IReadOnlyList<string> Migrations { get; } = ReadMigrations();

    private static List<string> ReadMigrations()
    {
        using GuildDbContext db = Open("Host=localhost;Database=guildstash");
        return [.. db.Database.GetMigrations()];
    }

    public static GuildDbContext Open(string connectionString)
    {
        DbContextOptionsBuilder<GuildDbContext> options = new();
        options.UseGuildDatabase(connectionString);
        return new GuildDbContext(options.Options);
    }

    /// <summary>
    /// Brings the schema up to date as the owner and gives the running application's lesser role what it needs. All that is new comes in one
    /// transaction: it is there as a whole or not at all, and an earlier version that is running goes on with what it knows.
    /// </summary>
    /// <param name="ownerConnectionString">Connection of the role that owns the tables.</param>
    /// <param name="appConnectionString">Connection of the running application; the same role is allowed where the guild has only one.</param>
    /// <exception cref="MigrationException">A migration failed, or waited too long for others' work.</exception>
    public static async Task MigrateAsync(string ownerConnectionString, string appConnectionString, CancellationToken cancellation)
    {
        await using NpgsqlConnection guard = new(ownerConnectionString);
        await guard.OpenAsync(cancellation);
        await ExecuteAsync(guard, $"select pg_advisory_lock({MigrationLock})", cancellation);
        try
        {
            await MigrateAsync(ownerConnectionString, cancellation);

            string? app = new NpgsqlConnectionStringBuilder(appConnectionString).Username;
            string? owner = new NpgsqlConnectionStringBuilder(ownerConnectionString).Username;
            if (app is not null && app != owner)
            {
                await GrantAsync(guard, app, cancellation);
            }
        }
        finally
        {
            await ExecuteAsync(guard, $"select pg_advisory_unlock({MigrationLock})", CancellationToken.None);
        }
    }

    private static async Task MigrateAsync(string ownerConnectionString, CancellationToken cancellation)
    {
        NpgsqlConnectionStringBuilder connection = new(ForShortQuestions(ownerConnectionString)) { CommandTimeout = LongestMigrationSeconds };
        connection.Options += $" -c lock_timeout={LongestWaitSeconds}s";
        DbContextOptionsBuilder<GuildDbContext> options = new();

        // Left to itself each migration is its own transaction, and one of several that fails would leave a schema between two versions.
        options.UseGuildDatabase(connection.ConnectionString);
        await using GuildDbContext db = new(options.Options);
        try
        {
            // On an empty database the question which migrations were applied would fail, and with it the transaction.
            await db.GetService<IHistoryRepository>().CreateIfNotExistsAsync(cancellation);
            await using IDbContextTransaction whole = await db.Database.BeginTransactionAsync(cancellation);
            await db.Database.MigrateAsync(cancellation);
            await whole.CommitAsync(cancellation);
        }
        catch (Exception fault) when (fault is NpgsqlException or InvalidOperationException or TimeoutException)
        {
            string why = fault is PostgresException told ? told.MessageText : (fault.InnerException ?? fault).Message;
            throw new MigrationException(
                $"The database could not be brought to this version: {why}. It is as it was before, and nothing in it was changed; an earlier version that is running goes on. "
                + "Use the earlier version until this is cleared up, and keep a back-up made with it.",
                fault);
        }
    }

    private static async Task GrantAsync(NpgsqlConnection connection, string role, CancellationToken cancellation)
    {
        if (!RoleName().IsMatch(role))
        {
            throw new ArgumentException($"The role name \"{role}\" is not plain: lower-case letters, digits and underscores are allowed.", nameof(role));
        }

        await ExecuteAsync(connection, $"""
            grant usage on schema public to {role};
            grant select, insert, update, delete on all tables in schema public to {role};
            grant usage on all sequences in schema public to {role};
            revoke update, delete, truncate on movement, lot_transfer, donor_trail from {role};
            revoke insert, update, delete on "__EFMigrationsHistory" from {role};
            """, cancellation);
    }

    private static async Task ExecuteAsync(NpgsqlConnection connection, string sql, CancellationToken cancellation)
    {
        // Whoever waits for another node's migration waits as long as that one may take.
        await using NpgsqlCommand command = new(sql, connection) { CommandTimeout = LongestMigrationSeconds };
        await command.ExecuteNonQueryAsync(cancellation);
    }

    [GeneratedRegex("^[a-z_][a-z0-9_]{0,62}$")]
    private static partial Regex RoleName();
}

/// <summary>Lets the tools make migrations without a running server.</summary>
internal sealed class DesignTimeFactory : IDesignTimeDbContextFactory<GuildDbContext>
{
    public GuildDbContext CreateDbContext(string[] args) => GuildDatabase.Open("Host=localhost;Database=guildstash");
}
