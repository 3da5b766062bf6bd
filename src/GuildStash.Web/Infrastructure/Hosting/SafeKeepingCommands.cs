using System.Globalization;
using GuildStash.Data;
using GuildStash.Data.SafeKeeping;
using GuildStash.Data.Server;
using GuildStash.Web.Features.Intake;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>Back-up, restore and export from the console.</summary>
public static class SafeKeepingCommands
{
    public static async Task<int> BackupAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        BackupManifest manifest = await Backup.WriteAsync(database.OwnerConnectionString, options.File!, null, cancellation);
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{options.File} holds {manifest.Guild} as of {manifest.MadeAt:yyyy-MM-dd HH:mm} UTC: {manifest.Figures["lots"]} lots, {manifest.Figures["movements"]} movements, {new FileInfo(options.File!).Length} bytes."));
        Console.WriteLine("It holds members' names and password hashes: keep it as safe as the database, on another machine.");
        return 0;
    }

    /// <summary>Looks at the archive and the target before anything of the target is touched.</summary>
    /// <returns>1 when the restored books are not those of the archive or not clean.</returns>
    public static async Task<int> RestoreAsync(AppOptions options, CancellationToken cancellation)
    {
        await using BackupArchive archive = await BackupArchive.OpenAsync(options.File!, cancellation);
        archive.CheckReadable(GuildDatabase.Migrations);
        if (options.Database is null)
        {
            archive.CheckServer(EmbeddedPostgres.MajorFor(options.DataDirectory));
        }

        await using DatabaseHandle database = await DatabaseHandle.OpenAsync(options, logger: null, cancellation);
        Restored restored = await Restoring.RunAsync(archive, database.OwnerConnectionString, database.AppConnectionString, Console.WriteLine, cancellation);
        int code = AdminCommands.Told(restored.Audit);
        foreach (string difference in restored.Differences)
        {
            Console.WriteLine($"WRONG {difference}");
        }

        if (restored.Differences.Count == 0)
        {
            Console.WriteLine($"All {archive.Manifest.Figures.Count} figures are those of the archive.");
        }

        return restored.Differences.Count == 0 ? code : 1;
    }

    public static async Task<int> ExportAsync(AppOptions options, DatabaseHandle database, CancellationToken cancellation)
    {
        await using (GuildDbContext db = GuildDatabase.Open(database.AppConnectionString))
        {
            await DonorTrail.TookAllByConsoleAsync(db, cancellation);
        }

        long rows = await OpenExport.WriteFileAsync(database.AppConnectionString, options.File!, cancellation);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{options.File} holds {rows} rows as JSON lines and as CSV; README.txt in it says what they mean."));
        return 0;
    }
}
