using GuildStash.Data.Ledger;
using GuildStash.Data.SafeKeeping;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.SafeKeeping;

/// <summary>The back-ups as an administrator sees them.</summary>
/// <param name="Folder">Null: no nightly back-ups are made.</param>
/// <param name="Newest">At most <see cref="SafeKeepingReader.MostListed"/>, the newest first.</param>
/// <param name="Count">All of them.</param>
/// <param name="Failure">Of the last attempt; null when it went well.</param>
/// <param name="Now">The program's clock, for ages.</param>
public sealed record SafeKeepingView(string? Folder, IReadOnlyList<BackupFile> Newest, int Count, BackupFailure? Failure, DateTimeOffset Now)
{
    public BackupFile? Last => Newest.Count > 0 ? Newest[0] : null;

    /// <summary>Whether the last back-up is too old to be calm about.</summary>
    public bool IsOld => Folder is not null && Last is { } last && Now - last.MadeAt > BackupSchedule.Worrying;
}

/// <summary>Shows which back-ups there are.</summary>
public sealed class SafeKeepingReader(GuildWork work, BackupDesk desk, TimeProvider clock)
{
    public const int MostListed = 30;

    public Task<Outcome<SafeKeepingView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<SafeKeepingView>(by, Role.Administrator, _ =>
        {
            try
            {
                IReadOnlyList<BackupFile> all = desk.List();
                return Task.FromResult<Outcome<SafeKeepingView>>(new SafeKeepingView(desk.Folder, [.. all.Take(MostListed)], all.Count, desk.Failure, clock.GetUtcNow()));
            }
            catch (SafeKeepingException fault)
            {
                return Task.FromResult<Outcome<SafeKeepingView>>(Refusal.Conflict("back-ups-unreadable", "{0}", fault.Message));
            }
        }, cancellation);
}

/// <summary>Makes a back-up beside the nightly ones.</summary>
public sealed class BackUpNow(GuildWork work, BackupDesk desk)
{
    /// <param name="written">Told the bytes of the dump so far.</param>
    public async Task<Outcome<BackupFile>> RunAsync(Guid by, IProgress<long>? written, CancellationToken cancellation)
    {
        Outcome<bool> may = await work.ReadAsync<bool>(by, Role.Administrator, _ => Task.FromResult<Outcome<bool>>(true), cancellation);
        if (!may.IsOk)
        {
            return Outcome<BackupFile>.Refused(may.Refusals);
        }

        if (desk.Folder is null)
        {
            return Refusal.Conflict("back-ups-off", "No folder is named for back-ups. Start GuildStash with --backups DIR, or set GUILDSTASH_BACKUPS.");
        }

        return await desk.RunAsync(isNightly: false, written, cancellation) switch
        {
            BackupEnd.Made => desk.List()[0],
            BackupEnd.OthersAtIt => Refusal.Conflict("back-up-running", "A back-up is being made at this moment. Wait until it is done."),
            _ => Refusal.Conflict("back-up-failed", "{0}", desk.Failure?.Sentence ?? "The back-up failed."),
        };
    }
}

/// <summary>Audits the books.</summary>
public sealed class CheckBooks(GuildWork work)
{
    public Task<Outcome<List<AuditLine>>> RunAsync(Guid by, IProgress<AuditProgress>? progress, CancellationToken cancellation) =>
        work.ReadAsync<List<AuditLine>>(
            by, Role.Administrator, async act => new List<AuditLine>(await BookAudit.RunAsync(act.Db, progress, act.Cancellation)), cancellation);
}

/// <summary>Everything that the guild owns, for taking along. Closing the stream removes the file behind it.</summary>
public sealed record ExportedGuild(string Name, Stream Content);

/// <summary>Writes the full open export.</summary>
public sealed partial class ExportGuild(GuildWork work, DonorTrail trail, AppSettings settings, TimeProvider clock, ILogger<ExportGuild> log)
{
    public async Task<Outcome<ExportedGuild>> RunAsync(Guid by, CancellationToken cancellation)
    {
        Outcome<bool> may = await work.WriteAsync<bool>(by, Role.Administrator, async act => await trail.TookAllAsync(act), cancellation);
        if (!may.IsOk)
        {
            return Outcome<ExportedGuild>.Refused(may.Refusals);
        }

        FileStream content = Temporary();
        try
        {
            long rows = await OpenExport.WriteAsync(settings.AppConnection, content, cancellation);
            LogTaken(by, rows);
            content.Position = 0;
            return new ExportedGuild($"guildstash-export-{clock.GetUtcNow():yyyyMMdd}.zip", content);
        }
        catch
        {
            await content.DisposeAsync();
            throw;
        }
    }

    /// <summary>A file, since an archive of a large guild should not lie in memory; for this user alone, and gone when closed.</summary>
    private static FileStream Temporary()
    {
        FileStreamOptions options = new() { Mode = FileMode.CreateNew, Access = FileAccess.ReadWrite, Share = FileShare.None, Options = FileOptions.Asynchronous | FileOptions.DeleteOnClose };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        return new FileStream(Path.Combine(Path.GetTempPath(), $"guildstash-export-{Guid.NewGuid():N}"), options);
    }

    [LoggerMessage(LogLevel.Information, "Person {Person} took a full export of {Rows} rows")]
    private partial void LogTaken(Guid person, long rows);
}
