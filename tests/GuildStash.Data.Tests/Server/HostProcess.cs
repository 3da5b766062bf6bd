using System.Diagnostics;
using System.Globalization;
using System.Runtime.CompilerServices;
using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

/// <summary>
/// Another process that keeps a server, so that it can be killed: this test program once more, turned into a host by an
/// environment variable before its tests begin.
/// </summary>
internal sealed class HostProcess : IDisposable
{
    private const string FolderName = "GUILDSTASH_TEST_HOST_FOLDER";

    private readonly Process _process;

    private HostProcess(Process process, int server) => (_process, ServerProcessId) = (process, server);

    public int ProcessId => _process.Id;

    public int ServerProcessId { get; }

    public static async Task<HostProcess> StartAsync(string folder)
    {
        var description = new ProcessStartInfo(Environment.ProcessPath!) { RedirectStandardOutput = true, UseShellExecute = false };
        description.Environment[FolderName] = folder;
        var process = Process.Start(description)!;
        var line = await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);
        return new HostProcess(process, int.Parse(line!, CultureInfo.InvariantCulture));
    }

    /// <summary>Kills the host alone, as kill -9 does, and waits until it is gone.</summary>
    public void Kill()
    {
        _process.Kill(entireProcessTree: false);
        _process.WaitForExit();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            Kill();
        }

        _process.Dispose();
    }

    [ModuleInitializer]
    internal static void BecomeHostWhenAsked()
    {
        if (Environment.GetEnvironmentVariable(FolderName) is not { Length: > 0 } folder)
        {
            return;
        }

        var options = new EmbeddedPostgresOptions { DataDirectory = folder };
        var server = EmbeddedPostgres.StartAsync(options, CancellationToken.None).GetAwaiter().GetResult();
        Console.WriteLine(server.ProcessId.ToString(CultureInfo.InvariantCulture));
        Thread.Sleep(Timeout.Infinite);
    }
}
