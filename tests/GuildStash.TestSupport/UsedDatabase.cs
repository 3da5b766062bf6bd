using System.Text;
using Npgsql;

namespace GuildStash.TestSupport;

/// <summary>
/// Makes a used copy of a template as the template was, so that the next test can have it: copying the 600 files of a database, opening
/// connections to it and dropping it took most of the processor time of a test that only needs a guild.
/// </summary>
internal sealed class UsedDatabase
{
    /// <summary>More than this a test leaves rarely; a new copy is the cheaper then, and its statistics are those of a small guild.</summary>
    private const long MostRows = 5_000;

    /// <summary>What no test may leave behind unseen: tables, columns, triggers, rules, functions and settings, each with the transaction that wrote it.</summary>
    private const string SchemaQuestion =
        """
        SELECT concat_ws(' ',
          (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_class WHERE relpersistence <> 't'),
          (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_trigger),
          (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_constraint),
          (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_proc),
          (SELECT count(*) FROM pg_db_role_setting JOIN pg_database d ON d.oid = setdatabase WHERE d.datname = current_database()))
        """;

    /// <summary>
    /// Whether somebody still works in the database, or holds a lock of the session, or a crowd left its connections, of which a server has no more
    /// than 100.
    /// </summary>
    private const string BusyQuestion =
        """
        SELECT count(*) > 8 OR coalesce(bool_or(a.state <> 'idle' OR EXISTS (SELECT 1 FROM pg_locks l WHERE l.pid = a.pid AND l.locktype = 'advisory')), false)
        FROM pg_stat_activity a
        WHERE a.datname = current_database() AND a.pid <> pg_backend_pid() AND a.backend_type = 'client backend'
        """;

    private const string Tables =
        "SELECT c.oid::regclass::text FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace WHERE c.relkind = 'r' AND n.nspname NOT IN ('pg_catalog', 'information_schema')";

    private readonly string _schema;
    private readonly IReadOnlyList<(string Table, string Rows)> _rows;
    private readonly IReadOnlyDictionary<string, long?> _sequences;

    private UsedDatabase(string schema, IReadOnlyList<(string, string)> rows, IReadOnlyDictionary<string, long?> sequences) =>
        (_schema, _rows, _sequences) = (schema, rows, sequences);

    /// <summary>Remembers what the template holds.</summary>
    /// <param name="connectionString">The template, as a superuser.</param>
    public static async Task<UsedDatabase> OfAsync(string connectionString)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync().ConfigureAwait(false);
        List<(string, string)> rows = [];
        foreach (var table in await ListAsync(connection, Tables).ConfigureAwait(false))
        {
            using var export = await connection.BeginTextExportAsync($"COPY {table} TO STDOUT").ConfigureAwait(false);
            var text = await export.ReadToEndAsync().ConfigureAwait(false);
            if (text.Length > 0)
            {
                rows.Add((table, text));
            }
        }

        return new UsedDatabase(
            (await ListAsync(connection, SchemaQuestion).ConfigureAwait(false))[0], rows, await SequencesAsync(connection).ConfigureAwait(false));
    }

    /// <summary>Takes away all rows and sets the template's down again.</summary>
    /// <param name="connectionString">The copy, as a superuser.</param>
    /// <returns>Whether it is as the template now; if not, it must be dropped.</returns>
    public async Task<bool> RenewAsync(string connectionString)
    {
        try
        {
            await using NpgsqlConnection connection = new(connectionString);
            await connection.OpenAsync().ConfigureAwait(false);
            if (await ListAsync(connection, BusyQuestion).ConfigureAwait(false) is not ["False"]
                || (await ListAsync(connection, SchemaQuestion).ConfigureAwait(false))[0] != _schema)
            {
                return false;
            }

            await using var whole = await connection.BeginTransactionAsync().ConfigureAwait(false);
            // Triggers that guard the ledger, and references between tables, are out of force for this session only.
            await RunAsync(connection, "SET LOCAL session_replication_role = replica; SET LOCAL lock_timeout = '2s'").ConfigureAwait(false);
            var filled = await ListAsync(connection, Tables + " AND pg_relation_size(c.oid) > 0").ConfigureAwait(false);
            var deleted = await RunAsync(connection, string.Join(';', filled.Select(table => $"DELETE FROM {table}"))).ConfigureAwait(false);
            if (deleted > MostRows)
            {
                return false;
            }

            foreach (var (table, rows) in _rows)
            {
                await using var import = await connection.BeginTextImportAsync($"COPY {table} FROM STDIN").ConfigureAwait(false);
                await import.WriteAsync(rows).ConfigureAwait(false);
            }

            var moved = await SequencesAsync(connection).ConfigureAwait(false);
            var back = _sequences.Where(sequence => moved.GetValueOrDefault(sequence.Key) != sequence.Value)
                .Select(sequence => $"SELECT setval('{sequence.Key}', {sequence.Value ?? 1}, {sequence.Value is not null})");
            await RunAsync(connection, string.Join(';', back)).ConfigureAwait(false);
            await whole.CommitAsync().ConfigureAwait(false);
            return true;
        }
        catch (NpgsqlException)
        {
            // Broken on purpose, by the test that had it.
            return false;
        }
    }

    private static async Task<Dictionary<string, long?>> SequencesAsync(NpgsqlConnection connection)
    {
        Dictionary<string, long?> sequences = [];
        await using NpgsqlCommand command = new("SELECT format('%I.%I', schemaname, sequencename), last_value FROM pg_sequences", connection);
        await using var reader = await command.ExecuteReaderAsync().ConfigureAwait(false);
        while (await reader.ReadAsync().ConfigureAwait(false))
        {
            sequences[reader.GetString(0)] = await reader.IsDBNullAsync(1).ConfigureAwait(false) ? null : reader.GetInt64(1);
        }

        return sequences;
    }

    private static async Task<List<string>> ListAsync(NpgsqlConnection connection, string question)
    {
        List<string> answers = [];
        await using NpgsqlCommand command = new(question, connection);
        await using var reader = await command.ExecuteReaderAsync().ConfigureAwait(false);
        while (await reader.ReadAsync().ConfigureAwait(false))
        {
            answers.Add(reader.GetValue(0).ToString()!);
        }

        return answers;
    }

    /// <returns>Rows that were changed.</returns>
    private static async Task<long> RunAsync(NpgsqlConnection connection, string statements)
    {
        if (statements.Length == 0)
        {
            return 0;
        }

        await using NpgsqlCommand command = new(statements, connection);
        return await command.ExecuteNonQueryAsync().ConfigureAwait(false);
    }
}
