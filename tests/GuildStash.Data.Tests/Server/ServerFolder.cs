using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

/// <summary>A data folder for one test. Servers in it do not force writes to disk unless the test says so.</summary>
internal sealed class ServerFolder : IDisposable
{
    public ServerFolder(string? under = null) =>
        Path = System.IO.Path.Combine(under ?? System.IO.Path.GetTempPath(), "gs-server-" + Guid.NewGuid().ToString("N")[..12]);

    public string Path { get; }

    public ServerFolders Folders => ServerFolders.For(Path);

    public Task<EmbeddedPostgres> StartAsync(bool durable = false) => EmbeddedPostgres.StartAsync(
        new EmbeddedPostgresOptions { DataDirectory = Path, Durable = durable },
        TestContext.Current.CancellationToken);

    public async Task<string> RefusalAsync()
    {
        var fault = await Assert.ThrowsAnyAsync<ServerStartException>(async () =>
        {
            await using var server = await StartAsync();
        });
        Assert.DoesNotContain('\n', fault.Message);
        return fault.Message;
    }

    public void Dispose()
    {
        if (Directory.Exists(Path))
        {
            Directory.Delete(Path, recursive: true);
        }
    }
}
