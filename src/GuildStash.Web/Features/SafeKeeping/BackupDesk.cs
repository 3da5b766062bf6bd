using GuildStash.Data.SafeKeeping;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Display;
using Npgsql;

namespace GuildStash.Web.Features.SafeKeeping;

/// <summary>A back-up that failed, in a sentence.</summary>
public sealed record BackupFailure(DateTimeOffset At, string Sentence);

/// <summary>How an attempt ended.</summary>
public enum BackupEnd
{
    Made,

    /// <summary>Another node, or somebody on the page, is making one or has just made one.</summary>
    OthersAtIt,

    Failed,
}

/// <summary>
/// Makes the back-ups of this program and remembers how the last one went. What was made is read from the folder; a failure is known
/// to the node on which it happened until the next success, and a start makes up for a back-up that was missed.
/// </summary>
public sealed partial class BackupDesk(AppSettings settings, GuildDefaults guild, TimeProvider clock, ILogger<BackupDesk> log)
{
    private const long BackupLock = 0x4755494C44535438;

    /// <summary>Two nodes that share a folder both wake at three; the second finds the first one's archive.</summary>
    private static readonly TimeSpan JustMade = TimeSpan.FromMinutes(30);

    private volatile BackupFailure? _failure;

    /// <summary>Null: no nightly back-ups are made.</summary>
    public string? Folder => settings.SafeKeeping?.Folder;

    /// <summary>The last attempt's, null when it went well.</summary>
    public BackupFailure? Failure => _failure;

    /// <summary>The back-ups of the folder, the newest first.</summary>
    /// <exception cref="SafeKeepingException">The folder can't be read.</exception>
    public IReadOnlyList<BackupFile> List() => Folder is { } folder ? BackupFolder.List(folder) : [];

    /// <param name="isNightly">Whether one that was just made is enough.</param>
    /// <param name="written">Told the bytes so far.</param>
    public async Task<BackupEnd> RunAsync(bool isNightly, IProgress<long>? written, CancellationToken cancellation)
    {
        try
        {
            BackupEnd end = await MakeAsync(settings.SafeKeeping!.OwnerConnection, Folder!, isNightly, written, cancellation);
            _failure = end == BackupEnd.Made ? null : _failure;
            return end;
        }
        catch (Exception fault) when (fault is SafeKeepingException or NpgsqlException)
        {
            _failure = new BackupFailure(clock.GetUtcNow(), fault.Message);
            LogFailure(fault);
            return BackupEnd.Failed;
        }
    }

    private async Task<BackupEnd> MakeAsync(string owner, string folder, bool isNightly, IProgress<long>? written, CancellationToken cancellation)
    {
        // The session holds the lock; closing it lets the lock go, also after a fault.
        await using NpgsqlConnection guard = new(new NpgsqlConnectionStringBuilder(owner) { Pooling = false }.ConnectionString);
        await guard.OpenAsync(cancellation);
        await using NpgsqlCommand command = new($"select pg_try_advisory_lock({BackupLock})", guard);
        if (await command.ExecuteScalarAsync(cancellation) is not true)
        {
            return BackupEnd.OthersAtIt;
        }

        BackupFolder.Prepare(folder);
        DateTimeOffset now = clock.GetUtcNow();
        if (isNightly && BackupFolder.List(folder) is [{ } newest, ..] && now - newest.MadeAt < JustMade)
        {
            return BackupEnd.OthersAtIt;
        }

        string file = Path.Combine(folder, BackupFolder.NameOf(now));
        await Backup.WriteAsync(owner, file, written, cancellation);
        LogMade(file);
        BackupFolder.Rotate(folder, guild.Zone);
        return BackupEnd.Made;
    }

    [LoggerMessage(LogLevel.Information, "The back-up {File} was made")]
    private partial void LogMade(string file);

    [LoggerMessage(LogLevel.Error, "A back-up could not be made")]
    private partial void LogFailure(Exception fault);
}
