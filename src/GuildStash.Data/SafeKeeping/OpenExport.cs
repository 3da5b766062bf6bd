using System.Data;
using System.Globalization;
using System.IO.Compression;
using System.Text;
using System.Text.Json;
using Npgsql;

namespace GuildStash.Data.SafeKeeping;

/// <summary>
/// Writes everything that a guild owns into open files, so that it can leave: each table as JSON lines and as CSV, with a description.
/// Passwords, tokens and keys stay behind. Rows go straight from the server into the archive, so that the size does not matter.
/// </summary>
public static class OpenExport
{
    /// <summary>
    /// A spreadsheet takes a text that begins so for a formula; the CSV files put an apostrophe before it (OWASP, "CSV Injection").
    /// The JSON files hold every text as it is.
    /// </summary>
    private const string FormulaStart = "^[=+@\\t\\r-]";

    /// <param name="connectionString">Connection of a role that may read all tables.</param>
    /// <param name="file">Where to; it must not exist yet.</param>
    /// <returns>How many rows were written.</returns>
    /// <exception cref="SafeKeepingException">It can't be done; nothing is left behind.</exception>
    public static async Task<long> WriteFileAsync(string connectionString, string file, CancellationToken cancellation)
    {
        await using SafeFile target = SafeFile.Create(file);
        try
        {
            long rows = await WriteAsync(connectionString, target.Stream, cancellation);
            target.Keep();
            return rows;
        }
        catch (Exception fault) when (fault is NpgsqlException or IOException or UnauthorizedAccessException)
        {
            throw new SafeKeepingException($"The export {file} could not be written: {fault.Message}", fault);
        }
    }

    /// <summary>Writes the archive into a stream that can be written at any place.</summary>
    /// <returns>How many rows were written.</returns>
    public static async Task<long> WriteAsync(string connectionString, Stream target, CancellationToken cancellation)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync(cancellation);

        // One snapshot for all tables, so that every key that a row names is there.
        await using NpgsqlTransaction snapshot = await connection.BeginTransactionAsync(IsolationLevel.RepeatableRead, cancellation);
        await Backup.RunAsync(connection, "set transaction read only; set local timezone = 'UTC'; set local statement_timeout = 0", cancellation);
        DateTime madeAt = await Backup.ScalarAsync<DateTime>(connection, "select now()", cancellation);
        string guild = await Backup.ScalarAsync<string>(connection, "select name from guild", cancellation) ?? "";
        await using ZipArchive zip = await ZipArchive.CreateAsync(target, ZipArchiveMode.Create, leaveOpen: true, entryNameEncoding: null, cancellation);
        long all = 0;
        List<object> described = [];
        foreach (ExportTable table in ExportTable.All)
        {
            Dictionary<string, string> types = await TypesAsync(connection, table.Name, cancellation);
            long rows = await CopyAsync(connection, JsonQuery(table), zip, $"json/{table.Name}.jsonl", cancellation);
            await CopyAsync(connection, CsvQuery(table, types), zip, $"csv/{table.Name}.csv", cancellation);
            described.Add(new { table.Name, table.Meaning, Rows = rows, Columns = table.Columns.Select(c => new { c.Name, Type = types[c.Name], c.Meaning, c.Unit }) });
            all += rows;
        }

        byte[] tables = JsonSerializer.SerializeToUtf8Bytes(new { Guild = guild, MadeAt = madeAt, Tables = described }, BackupManifest.Json);
        await AddAsync(zip, "tables.json", tables, cancellation);
        await AddAsync(zip, "README.txt", Encoding.UTF8.GetBytes(ReadMe(guild, madeAt)), cancellation);
        return all;
    }

    /// <summary>
    /// COPY's text format would double every backslash, so JSON goes through its CSV format with signs that JSON never has:
    /// it writes control characters as \u escapes (RFC 8259, section 7).
    /// </summary>
    private static string JsonQuery(ExportTable table) =>
        $"copy (select row_to_json(t) from (select {Columns(table)} from \"{table.Name}\" order by 1) t) to stdout (format csv, quote e'\\x01', delimiter e'\\x02')";

    private static string CsvQuery(ExportTable table, Dictionary<string, string> types) =>
        $"copy (select {string.Join(", ", table.Columns.Select(c => Cell(c.Name, types[c.Name])))} from \"{table.Name}\" order by 1) to stdout (format csv, header)";

    private static string Columns(ExportTable table) => string.Join(", ", table.Columns.Select(c => $"\"{c.Name}\""));

    private static string Cell(string column, string type) => type is "text" or "character varying"
        ? $"case when \"{column}\" ~ e'{FormulaStart}' then '''' || \"{column}\" else \"{column}\" end as \"{column}\""
        : $"\"{column}\"";

    private static async Task<long> CopyAsync(NpgsqlConnection connection, string copy, ZipArchive zip, string name, CancellationToken cancellation)
    {
        await using Stream into = await zip.CreateEntry(name).OpenAsync(cancellation);
        await using StreamWriter writer = new(into, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
        using TextReader from = await connection.BeginTextExportAsync(copy, cancellation);
        char[] block = new char[1 << 16];
        long lines = 0;
        for (int read; (read = await from.ReadAsync(block, cancellation)) > 0;)
        {
            lines += block.AsSpan(0, read).Count('\n');
            await writer.WriteAsync(block.AsMemory(0, read), cancellation);
        }

        return lines;
    }

    private static async Task<Dictionary<string, string>> TypesAsync(NpgsqlConnection connection, string table, CancellationToken cancellation)
    {
        await using NpgsqlCommand command = new(
            "select column_name, case when data_type = 'ARRAY' then 'list of ' || ltrim(udt_name, '_') else data_type end from information_schema.columns where table_schema = 'public' and table_name = $1",
            connection)
        { Parameters = { new NpgsqlParameter { Value = table } } };
        await using NpgsqlDataReader reader = await command.ExecuteReaderAsync(cancellation);
        Dictionary<string, string> types = [];
        while (await reader.ReadAsync(cancellation))
        {
            types[reader.GetString(0)] = reader.GetString(1);
        }

        return types;
    }

    private static async Task AddAsync(ZipArchive zip, string name, byte[] content, CancellationToken cancellation)
    {
        await using Stream into = await zip.CreateEntry(name).OpenAsync(cancellation);
        await into.WriteAsync(content, cancellation);
    }

    private static string ReadMe(string guild, DateTime madeAt)
    {
        StringBuilder text = new();
        text.Append(CultureInfo.InvariantCulture, $"""
            Everything that {guild} keeps in GuildStash, as of {madeAt:yyyy-MM-dd HH:mm} UTC.

            json/  one file for each table, one JSON object in each line; texts are exactly as they were typed
            csv/   the same tables with a head line, for spreadsheets; a text that a spreadsheet would take for a formula has an apostrophe before it
            tables.json  the list below with types and numbers of rows, for programs

            All files are UTF-8. Masses are whole milligrams (mg), lengths metres (m), moments UTC. Keys are UUIDs; "person.id" and the like name
            the table and column that a key points to. Passwords, tokens and keys of the installation are not in here.
            The files hold names and addresses of people: keep them safe.

            """);
        foreach (ExportTable table in ExportTable.All)
        {
            text.Append(CultureInfo.InvariantCulture, $"\n{table.Name}: {table.Meaning}\n");
            foreach (ExportColumn column in table.Columns)
            {
                text.Append(CultureInfo.InvariantCulture, $"  {column.Name,-26} {column.Meaning}{(column.Unit is null ? "" : $" ({column.Unit})")}\n");
            }
        }

        return text.ToString();
    }
}
