using System.Globalization;
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
    private const int MostRows = 5_000;

    /// <summary>
    /// What no test may leave behind unseen: tables, columns, triggers, rules, functions and settings, each with the transaction that wrote it; null
    /// while somebody still works in the database, or holds a lock of the session, or a crowd left its connections, of which a server has no more
    /// than 100.
    /// </summary>
    private const string SchemaQuestion =
        """
        SELECT CASE WHEN count(*) <= 8 AND coalesce(bool_and(a.state = 'idle' AND NOT EXISTS (SELECT 1 FROM pg_locks l WHERE l.pid = a.pid AND l.locktype = 'advisory')), true)
          THEN concat_ws(' ',
            (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_class WHERE relpersistence <> 't'),
            (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_trigger),
            (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_constraint),
            (SELECT concat(count(*), ':', max(xmin::text::bigint)) FROM pg_proc),
            (SELECT count(*) FROM pg_db_role_setting JOIN pg_database d ON d.oid = setdatabase WHERE d.datname = current_database()))
          END
        FROM pg_stat_activity a
        WHERE a.datname = current_database() AND a.pid <> pg_backend_pid() AND a.backend_type = 'client backend'
        """;

    private const string IsTable = "c.relkind = 'r' AND c.relnamespace NOT IN ('pg_catalog'::regnamespace, 'information_schema'::regnamespace)";

    /// <summary>Each table with the columns that can be written.</summary>
    private const string TablesQuestion =
        $"""
        SELECT c.oid::regclass::text, string_agg(quote_ident(a.attname), ', ')
        FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid
        WHERE {IsTable} AND a.attnum > 0 AND NOT a.attisdropped AND a.attgenerated = ''
        GROUP BY c.oid
        """;

    private readonly string _schema;
    private readonly string _renewal;

    private UsedDatabase(string schema, string renewal) => (_schema, _renewal) = (schema, renewal);

    /// <summary>Remembers what the template holds.</summary>
    /// <param name="connectionString">The template, as a superuser.</param>
    public static async Task<UsedDatabase> OfAsync(string connectionString)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync().ConfigureAwait(false);
        StringBuilder rows = new();
        foreach (string[] table in await ListAsync(connection, TablesQuestion).ConfigureAwait(false))
        {
            // As JSON, which has a form for every type.
            string[] all = (await ListAsync(connection, $"SELECT coalesce(quote_literal(json_agg(t)::text), '') FROM {table[0]} t").ConfigureAwait(false))[0];
            if (all[0].Length > 0)
            {
                rows.AppendLine(CultureInfo.InvariantCulture, $"INSERT INTO {table[0]} ({table[1]}) OVERRIDING SYSTEM VALUE SELECT {table[1]} FROM json_populate_recordset(NULL::{table[0]}, {all[0]});");
            }
        }

        StringBuilder sequences = new();
        foreach (string[] sequence in await ListAsync(connection, "SELECT quote_literal(format('%I.%I', schemaname, sequencename)), coalesce(last_value, 1)::text, (last_value IS NOT NULL)::text FROM pg_sequences").ConfigureAwait(false))
        {
            sequences.AppendLine(CultureInfo.InvariantCulture, $"PERFORM setval({sequence[0]}, {sequence[1]}, {sequence[2]});");
        }

        return new UsedDatabase((await ListAsync(connection, SchemaQuestion).ConfigureAwait(false))[0][0], Renewal(rows.ToString(), sequences.ToString()));
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
            if ((await ListAsync(connection, SchemaQuestion).ConfigureAwait(false))[0][0] != _schema)
            {
                return false;
            }

            await using NpgsqlCommand renew = new(_renewal, connection);
            await renew.ExecuteNonQueryAsync().ConfigureAwait(false);
            return true;
        }
        catch (NpgsqlException)
        {
            // Broken on purpose, by the test that had it, or full.
            return false;
        }
    }

    /// <summary>
    /// One statement, so that it is done as a whole and asked in one message. Triggers that guard the ledger, and references between tables, are out of
    /// force in it.
    /// </summary>
    private static string Renewal(string rows, string sequences) =>
        $"""
        DO $renewal$
        DECLARE
          filled regclass;
          gone bigint;
          allowed bigint := {MostRows};
        BEGIN
          PERFORM set_config('session_replication_role', 'replica', true), set_config('lock_timeout', '2s', true);
          FOR filled IN SELECT c.oid FROM pg_class c WHERE {IsTable} AND pg_relation_size(c.oid) > 0 LOOP
            EXECUTE format('DELETE FROM %s', filled);
            GET DIAGNOSTICS gone = ROW_COUNT;
            allowed := allowed - gone;
          END LOOP;
          IF allowed < 0 THEN
            RAISE 'A new copy is cheaper.';
          END IF;
          {rows}
          {sequences}
        END $renewal$
        """;

    /// <returns>The rows, each with its columns as text, empty where there is none.</returns>
    private static async Task<List<string[]>> ListAsync(NpgsqlConnection connection, string question)
    {
        List<string[]> answers = [];
        await using NpgsqlCommand command = new(question, connection);
        await using NpgsqlDataReader reader = await command.ExecuteReaderAsync().ConfigureAwait(false);
        while (await reader.ReadAsync().ConfigureAwait(false))
        {
            object[] values = new object[reader.FieldCount];
            reader.GetValues(values);
            answers.Add([.. values.Select(value => value as string ?? "")]);
        }

        return answers;
    }
}
