using GuildStash.Data.SafeKeeping;

namespace GuildStash.TestSupport;

/// <summary>
/// The demo guild that one test program leaves to the next as a back-up, in the file that GUILDSTASH_TEST_DEMO names: making it takes as long as
/// hundreds of tests. Where nothing is named or left, each program makes its own.
/// </summary>
public static class SharedDemo
{
    public const string EnvironmentName = "GUILDSTASH_TEST_DEMO";

    private static string? FileName => Environment.GetEnvironmentVariable(EnvironmentName) is { Length: > 0 } name ? name : null;

    /// <param name="demoOwner">Connection of the owner of a demo guild that no test had yet.</param>
    public static async Task LeaveAsync(string demoOwner, CancellationToken cancellation)
    {
        if (FileName is { } name)
        {
            await Backup.WriteAsync(demoOwner, name, null, cancellation).ConfigureAwait(false);
        }
    }

    /// <summary>Fills an empty database with the demo guild that was left, if one was.</summary>
    /// <exception cref="InvalidOperationException">What was restored is not what was backed up.</exception>
    public static async Task TakeAsync(TestDatabase empty, CancellationToken cancellation)
    {
        if (FileName is not { } name || !File.Exists(name))
        {
            return;
        }

        await using BackupArchive archive = await BackupArchive.OpenAsync(name, cancellation).ConfigureAwait(false);
        Restored restored = await Restoring.RunAsync(archive, empty.OwnerConnectionString, empty.AppConnectionString, _ => { }, cancellation).ConfigureAwait(false);
        if (!restored.IsWhole)
        {
            throw new InvalidOperationException("The demo guild's back-up came back otherwise than it was: "
                + string.Join("; ", [.. restored.Differences, .. restored.Audit.SelectMany(line => line.Faults.Select(fault => $"{line.What}: {fault}"))]));
        }
    }
}
