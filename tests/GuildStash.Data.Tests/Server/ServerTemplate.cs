using System.Diagnostics;
using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

/// <summary>A data folder whose cluster was made and stopped once, to be copied.</summary>
public sealed class ServerTemplate : IAsyncLifetime
{
    private readonly ServerFolder _folder = new();

    public async ValueTask InitializeAsync()
    {
        var options = new EmbeddedPostgresOptions { DataDirectory = _folder.Path, Durable = false };
        await using var server = await EmbeddedPostgres.StartAsync(options, CancellationToken.None);
    }

    /// <summary>Copies the folder with owners and modes.</summary>
    public void CopyTo(string folder)
    {
        using var copy = Process.Start("cp", ["-a", _folder.Path, folder]);
        copy.WaitForExit();
        Assert.Equal(0, copy.ExitCode);
    }

    public ValueTask DisposeAsync()
    {
        _folder.Dispose();
        return ValueTask.CompletedTask;
    }
}
