using System.Data;
using System.Diagnostics;
using System.IO.Compression;
using System.Security.Cryptography;
using System.Text.Json;
using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.SafeKeeping;

/// <summary>
/// Writes a guild's whole database into one archive while people go on working: pg_dump and the figures beside it look through the same
/// exported snapshot (PostgreSQL manual, "Snapshot Synchronization Functions").
/// </summary>
public static class Backup
{
    private const int BlockSize = 1 << 20;

    /// <param name="ownerConnectionString">Connection of the role that owns the tables.</param>
    /// <param name="file">Where to; it must not exist yet.</param>
    /// <param name="written">Told the bytes of the dump so far; null where nobody watches.</param>
    /// <returns>The manifest of the finished archive.</returns>
    /// <exception cref="SafeKeepingException">It can't be done; nothing is left behind.</exception>
    public static async Task<BackupManifest> WriteAsync(string ownerConnectionString, string file, IProgress<long>? written, CancellationToken cancellation)
    {
        await using SafeFile target = SafeFile.Create(file);
        try
        {
            BackupManifest manifest;
            await using (NpgsqlConnection connection = new(new NpgsqlConnectionStringBuilder(ownerConnectionString) { Pooling = false }.ConnectionString))
            {
                await connection.OpenAsync(cancellation);
                await using NpgsqlTransaction snapshot = await connection.BeginTransactionAsync(IsolationLevel.RepeatableRead, cancellation);
                manifest = await WriteAsync(connection, ownerConnectionString, target.Stream, written, cancellation);
            }

            await using (BackupArchive again = await BackupArchive.OpenAsync(target.Stream, file, cancellation))
            {
                await again.VerifyAsync(cancellation);
            }

            target.Keep();
            return manifest;
        }
        catch (Exception fault) when (fault is NpgsqlException or IOException or UnauthorizedAccessException or ServerStartException)
        {
            throw new SafeKeepingException($"The back-up {file} could not be written: {fault.Message}", fault);
        }
    }

    private static async Task<BackupManifest> WriteAsync(
        NpgsqlConnection connection, string ownerConnectionString, Stream target, IProgress<long>? written, CancellationToken cancellation)
    {
        await RunAsync(connection, "set transaction read only; set local idle_in_transaction_session_timeout = 0; set local statement_timeout = 0", cancellation);
        string guild = await GuildNameAsync(connection, cancellation);
        DumpPrograms programs = DumpPrograms.Find(connection.PostgreSqlVersion.Major);
        string snapshot = (await ScalarAsync<string>(connection, "select pg_export_snapshot()", cancellation))!;
        await using ZipArchive zip = await ZipArchive.CreateAsync(target, ZipArchiveMode.Create, leaveOpen: true, entryNameEncoding: null, cancellation);
        ArchiveEntry dump = await DumpAsync(programs.Dump(ownerConnectionString, snapshot), zip, written, cancellation);
        BackupManifest manifest = new()
        {
            Format = BackupManifest.PresentFormat,
            MadeAt = await ScalarAsync<DateTime>(connection, "select now()", cancellation),
            Guild = guild,
            PostgresMajor = connection.PostgreSqlVersion.Major,
            DumpMajor = programs.Major,
            AppVersion = typeof(Backup).Assembly.GetName().Version!.ToString(3),
            Migrations = await MigrationsAsync(connection, cancellation),
            Entries = [dump],
            Figures = await BookFigures.ReadAsync(connection, cancellation),
        };
        byte[] text = JsonSerializer.SerializeToUtf8Bytes(manifest, BackupManifest.Json);
        await AddAsync(zip, BackupArchive.ManifestName, text, cancellation);
        await AddAsync(zip, BackupArchive.ManifestSumName, System.Text.Encoding.ASCII.GetBytes(Convert.ToHexStringLower(SHA256.HashData(text))), cancellation);
        return manifest;
    }

    private static async Task<string> GuildNameAsync(NpgsqlConnection connection, CancellationToken cancellation)
    {
        string? name = await ScalarAsync<bool>(connection, "select to_regclass('public.guild') is not null", cancellation)
            ? await ScalarAsync<string>(connection, "select name from guild", cancellation)
            : null;
        return name ?? throw new SafeKeepingException("No guild is set up in this database yet: there is nothing to keep safe.");
    }

    private static async Task<ArchiveEntry> DumpAsync(ProcessStartInfo start, ZipArchive zip, IProgress<long>? written, CancellationToken cancellation)
    {
        using Process process = ServerCommand.Start(start);
        process.StandardInput.Close();
        Task<string> complaints = process.StandardError.ReadToEndAsync(cancellation);
        try
        {
            // The dump is compressed already.
            ZipArchiveEntry entry = zip.CreateEntry(BackupArchive.DumpName, CompressionLevel.NoCompression);
            (long size, string sum) = (0, "");
            await using (Stream into = await entry.OpenAsync(cancellation))
            {
                (size, sum) = await CopyAsync(process.StandardOutput.BaseStream, into, written, cancellation);
            }

            await process.WaitForExitAsync(cancellation);
            return process.ExitCode == 0
                ? new ArchiveEntry(BackupArchive.DumpName, size, sum)
                : throw new SafeKeepingException($"The database could not be dumped: {LastLine(await complaints)}");
        }
        catch
        {
            Stop(process);
            throw;
        }
    }

    internal static async Task<(long Size, string Sha256)> CopyAsync(Stream from, Stream to, IProgress<long>? progress, CancellationToken cancellation)
    {
        using IncrementalHash hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        byte[] block = new byte[BlockSize];
        long size = 0;
        for (int read; (read = await from.ReadAsync(block, cancellation)) > 0;)
        {
            hash.AppendData(block, 0, read);
            await to.WriteAsync(block.AsMemory(0, read), cancellation);
            size += read;
            progress?.Report(size);
        }

        return (size, Convert.ToHexStringLower(hash.GetHashAndReset()));
    }

    internal static void Stop(Process process)
    {
        if (!process.HasExited)
        {
            process.Kill(entireProcessTree: true);
        }
    }

    internal static string LastLine(string complaints) =>
        complaints.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .FirstOrDefault(line => line.Contains("error:", StringComparison.Ordinal))
        ?? (string.IsNullOrWhiteSpace(complaints) ? "the program gave no reason" : complaints.Trim());

    internal static async Task<T?> ScalarAsync<T>(NpgsqlConnection connection, string question, CancellationToken cancellation)
    {
        await using NpgsqlCommand command = new(question, connection);
        return await command.ExecuteScalarAsync(cancellation) is T value ? value : default;
    }

    internal static async Task RunAsync(NpgsqlConnection connection, string statement, CancellationToken cancellation)
    {
        await using NpgsqlCommand command = new(statement, connection);
        await command.ExecuteNonQueryAsync(cancellation);
    }

    private static async Task<IReadOnlyList<string>> MigrationsAsync(NpgsqlConnection connection, CancellationToken cancellation)
    {
        await using NpgsqlCommand command = new("select migration_id from \"__EFMigrationsHistory\" order by migration_id", connection);
        await using NpgsqlDataReader reader = await command.ExecuteReaderAsync(cancellation);
        List<string> names = [];
        while (await reader.ReadAsync(cancellation))
        {
            names.Add(reader.GetString(0));
        }

        return names;
    }

    private static async Task AddAsync(ZipArchive zip, string name, byte[] content, CancellationToken cancellation)
    {
        await using Stream into = await zip.CreateEntry(name).OpenAsync(cancellation);
        await into.WriteAsync(content, cancellation);
    }
}
