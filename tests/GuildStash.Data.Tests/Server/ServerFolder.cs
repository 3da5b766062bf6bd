using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

/// <summary>
/// A data folder for one test. Servers in it do not force writes to disk unless the test says so, and begin with a copy of
/// a cluster made once, since initdb takes most of a test's time.
/// </summary>
internal sealed class ServerFolder : IDisposable
{
    private const uint Nobody = 65534;

    public ServerFolder(string? under = null) =>
        Path = System.IO.Path.Combine(under ?? System.IO.Path.GetTempPath(), "gs-server-" + Guid.NewGuid().ToString("N")[..12]);

    public string Path { get; }

    public ServerFolders Folders => ServerFolders.For(Path);

    /// <summary>A folder in which a server has run before.</summary>
    public static ServerFolder Used(ServerTemplate template)
    {
        var folder = new ServerFolder();
        template.CopyTo(folder.Path);
        return folder;
    }

    /// <summary>A folder with as much of a cluster as is looked at before a server is started.</summary>
    public static ServerFolder Pretended()
    {
        var folder = new ServerFolder();
        Directory.CreateDirectory(System.IO.Path.Combine(folder.Folders.Cluster, "global"));
        File.WriteAllText(folder.Folders.VersionFile, ServerPrograms.Find(null, folder.Folders.Cluster).Major + "\n");
        File.WriteAllText(System.IO.Path.Combine(folder.Folders.Cluster, "global", "pg_control"), "");
        ServerCredentials.ReadOrCreate(folder.Folders);
        if (PosixCalls.IsRoot)
        {
            PosixCalls.ChangeOwner(folder.Folders.Cluster, Nobody, Nobody);
        }

        return folder;
    }

    public List<string> Everything() =>
        [.. Directory.GetFileSystemEntries(Folders.Cluster, "*", SearchOption.AllDirectories).Order()];

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
