using System.Diagnostics;
using GuildStash.Data.Ledger;
using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.SafeKeeping;

/// <summary>What came of a restore: whether the figures are those of the archive, and what the audit of the books found.</summary>
/// <param name="Differences">Figures that are not as the manifest says; empty when all are.</param>
public sealed record Restored(IReadOnlyList<string> Differences, IReadOnlyList<AuditLine> Audit)
{
    public bool IsWhole => Differences.Count == 0 && Audit.All(line => line.Faults.Count == 0);
}

/// <summary>Loads an archive into an empty database.</summary>
public static class Restoring
{
    /// <param name="archive">Opened, so its checksums are right.</param>
    /// <param name="ownerConnectionString">Connection of the role that will own the tables.</param>
    /// <param name="appConnectionString">Connection of the running application's role.</param>
    /// <param name="say">Told what is being done.</param>
    /// <exception cref="SafeKeepingException">It was refused and nothing was touched, or the load failed and the database is empty.</exception>
    public static async Task<Restored> RunAsync(
        BackupArchive archive, string ownerConnectionString, string appConnectionString, Action<string> say, CancellationToken cancellation)
    {
        archive.CheckReadable(GuildDatabase.Migrations);
        string unpooled = new NpgsqlConnectionStringBuilder(ownerConnectionString) { Pooling = false }.ConnectionString;
        await using NpgsqlConnection connection = new(unpooled);
        await connection.OpenAsync(cancellation);
        archive.CheckServer(connection.PostgreSqlVersion.Major);
        DumpPrograms programs = DumpPrograms.Find(Math.Max(connection.PostgreSqlVersion.Major, archive.Manifest.DumpMajor));
        await RestoreTarget.CheckAsync(connection, cancellation);

        say($"Loading {archive.Manifest.Guild} as of {archive.Manifest.MadeAt:yyyy-MM-dd HH:mm} UTC.");
        await RestoreTarget.MakeAnewAsync(connection, cancellation);
        try
        {
            await LoadAsync(archive, programs.Restore(ownerConnectionString), cancellation);
            say("Bringing the tables up to date.");
            await GuildDatabase.MigrateAsync(unpooled, appConnectionString, cancellation);
        }
        catch (Exception fault)
        {
            await RestoreTarget.MakeAnewAsync(connection, CancellationToken.None);
            throw fault is OperationCanceledException ? fault : new SafeKeepingException(
                $"The archive could not be loaded, and the database is empty as before: {Backup.LastLine(fault.Message)}", fault);
        }

        IReadOnlyList<string> differences = BookFigures.Differences(archive.Manifest.Figures, await BookFigures.ReadAsync(connection, cancellation));
        say("Checking the books.");
        await using GuildDbContext db = GuildDatabase.Open(unpooled);
        return new Restored(differences, await BookAudit.RunAsync(db, null, cancellation));
    }

    private static async Task LoadAsync(BackupArchive archive, ProcessStartInfo start, CancellationToken cancellation)
    {
        using Process process = ServerCommand.Start(start);
        Task<string> complaints = process.StandardError.ReadToEndAsync(cancellation);
        Task<string> output = process.StandardOutput.ReadToEndAsync(cancellation);
        try
        {
            await using Stream dump = await archive.OpenDumpAsync(cancellation);
            await FeedAsync(dump, process, cancellation);
            await process.WaitForExitAsync(cancellation);
        }
        catch
        {
            Backup.Stop(process);
            throw;
        }

        await output;
        if (process.ExitCode != 0)
        {
            throw new SafeKeepingException(Backup.LastLine(await complaints));
        }
    }

    private static async Task FeedAsync(Stream dump, Process process, CancellationToken cancellation)
    {
        try
        {
            // Closed whatever happens: the program waits for the end of its input.
            using StreamWriter input = process.StandardInput;
            await dump.CopyToAsync(input.BaseStream, cancellation);
        }
        catch (IOException)
        {
            // The program ended before it had read all; its own words say why.
        }
    }
}
