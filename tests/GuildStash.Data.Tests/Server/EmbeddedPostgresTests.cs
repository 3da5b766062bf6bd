using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

public sealed class EmbeddedPostgresTests(ServerTemplate template)
{
    [Fact]
    public async Task Start_WhenFolderIsNew_RunsDurablyAndStopsClean()
    {
        using var folder = new ServerFolder();
        int process;
        await using (var server = await folder.StartAsync(durable: true))
        {
            process = server.ProcessId;
            Assert.True(server.MajorVersion >= 15);
            Assert.Equal("on", await Sql.ScalarAsync<string>(server.OwnerConnectionString(), "SHOW fsync"));
            Assert.Equal("on", await Sql.ScalarAsync<string>(server.OwnerConnectionString(), "SHOW data_checksums"));
            Assert.Equal("UTF8", await Sql.ScalarAsync<string>(server.OwnerConnectionString(), "SHOW server_encoding"));
        }

        Assert.False(ClusterProcesses.IsAlive(process));
        Assert.False(File.Exists(folder.Folders.PostmasterFile));
    }

    [Fact]
    public async Task Start_WhenStoppedBefore_KeepsRows()
    {
        using var folder = ServerFolder.Used(template);
        await using (var server = await folder.StartAsync())
        {
            await Sql.RunAsync(server.OwnerConnectionString(), "CREATE TABLE lot (grams int); INSERT INTO lot VALUES (150)");
        }

        await using var again = await folder.StartAsync();
        Assert.Equal(150, await Sql.ScalarAsync<int>(again.OwnerConnectionString(), "SELECT grams FROM lot"));
    }

    [Fact]
    public async Task Attach_WhenNothingRuns_IsNull()
    {
        using var folder = new ServerFolder();
        Assert.Null(await EmbeddedPostgres.AttachAsync(folder.Path, TestContext.Current.CancellationToken));

        template.CopyTo(folder.Path);
        await (await folder.StartAsync()).DisposeAsync();
        Assert.Null(await EmbeddedPostgres.AttachAsync(folder.Path, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Start_WhenPathIsTooLongForASocket_UsesAShortSocketFolder()
    {
        using var folder = new ServerFolder(Path.Combine(Path.GetTempPath(), "gs-" + new string('é', 60)));
        try
        {
            await using var server = await folder.StartAsync();

            Assert.True(ServerFolders.SocketPathLength(Path.Combine(folder.Path, "run")) > ServerFolders.LongestSocketPath);
            Assert.True(ServerFolders.SocketPathLength(server.SocketFolder) <= ServerFolders.LongestSocketPath);
            Assert.Equal(1, await Sql.ScalarAsync<int>(server.AppConnectionString(), "SELECT 1"));
        }
        finally
        {
            Directory.Delete(Path.GetDirectoryName(folder.Path)!, recursive: true);
            Directory.Delete(folder.Folders.SocketFolder, recursive: true);
        }
    }
}
