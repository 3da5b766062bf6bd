using System.Globalization;
using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.Tests.Server;

public sealed class EmbeddedPostgresTests
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
        using var folder = new ServerFolder();
        await using (var server = await folder.StartAsync())
        {
            await Sql.RunAsync(server.OwnerConnectionString(), "CREATE TABLE lot (grams int); INSERT INTO lot VALUES (150)");
        }

        await using var again = await folder.StartAsync();
        Assert.Equal(150, await Sql.ScalarAsync<int>(again.OwnerConnectionString(), "SELECT grams FROM lot"));
    }

    [Fact]
    public async Task Start_WhenFolderIsInUse_IsRefusedNamingTheProcess()
    {
        using var folder = new ServerFolder();
        await using var server = await folder.StartAsync();

        var sentence = await folder.RefusalAsync();

        Assert.Contains("already works on the data folder", sentence);
        Assert.Contains($"process {Environment.ProcessId.ToString(CultureInfo.InvariantCulture)}", sentence);
        Assert.Equal(1, await Sql.ScalarAsync<int>(server.OwnerConnectionString(), "SELECT 1"));
    }

    [Fact]
    public async Task Start_Always_ListensOnNoNetworkAddress()
    {
        using var folder = new ServerFolder();
        await using var server = await folder.StartAsync();

        Assert.Equal("", await Sql.ScalarAsync<string>(server.OwnerConnectionString(), "SHOW listen_addresses"));
        Assert.Empty(NetworkListeners.Of(server.ProcessId));
    }

    [Fact]
    public async Task Start_Always_PasswordFileIsPrivate()
    {
        using var folder = new ServerFolder();
        await using var server = await folder.StartAsync();

        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(folder.Folders.PasswordFile));
        Assert.Equal(
            UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute,
            File.GetUnixFileMode(server.SocketFolder));
        Assert.DoesNotContain(
            Directory.EnumerateFileSystemEntries(folder.Path), entry => entry.Contains("unfinished", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Connect_WhenPasswordIsWrong_IsRefusedByScram()
    {
        using var folder = new ServerFolder();
        await using var server = await folder.StartAsync();
        var wrong = new NpgsqlConnectionStringBuilder(server.OwnerConnectionString()) { Password = "wrong", Pooling = false };

        var fault = await Assert.ThrowsAsync<PostgresException>(() => Sql.ScalarAsync<int>(wrong.ConnectionString, "SELECT 1"));

        Assert.Equal(PostgresErrorCodes.InvalidPassword, fault.SqlState);
        Assert.StartsWith("SCRAM-SHA-256$", await Sql.ScalarAsync<string>(
            SuperuserOf(server), "SELECT rolpassword FROM pg_authid WHERE rolname = 'guildstash_app'"));
    }

    [Fact]
    public async Task Roles_Always_AppIsLesserThanOwner()
    {
        using var folder = new ServerFolder();
        await using var server = await folder.StartAsync();
        await Sql.RunAsync(server.OwnerConnectionString(), "CREATE TABLE lot (grams int)");

        Assert.Equal("guildstash_owner", await Sql.ScalarAsync<string>(
            server.OwnerConnectionString(), "SELECT pg_get_userbyid(datdba)::text FROM pg_database WHERE datname = current_database()"));
        foreach (var statement in new[] { "SELECT count(*) FROM lot", "CREATE TABLE mine (n int)", "CREATE DATABASE mine", "CREATE TEMP TABLE t (n int)" })
        {
            var fault = await Assert.ThrowsAsync<PostgresException>(() => Sql.RunAsync(server.AppConnectionString(), statement));
            Assert.Equal(PostgresErrorCodes.InsufficientPrivilege, fault.SqlState);
        }

        Assert.False(await Sql.ScalarAsync<bool>(
            server.OwnerConnectionString(), "SELECT rolsuper OR rolcreaterole FROM pg_roles WHERE rolname = current_user"));
    }

    [Fact]
    public async Task Attach_WhenAppRuns_UsesItsServerAndLeavesItRunning()
    {
        using var folder = new ServerFolder();
        await using var server = await folder.StartAsync();

        await using (var attached = await EmbeddedPostgres.AttachAsync(folder.Path, TestContext.Current.CancellationToken))
        {
            Assert.NotNull(attached);
            Assert.True(attached.IsAttached);
            Assert.Equal(server.ProcessId, attached.ProcessId);
            Assert.Equal(1, await Sql.ScalarAsync<int>(attached.AppConnectionString(), "SELECT 1"));
        }

        Assert.Equal(1, await Sql.ScalarAsync<int>(server.AppConnectionString(), "SELECT 1"));
    }

    [Fact]
    public async Task Attach_WhenNothingRuns_IsNull()
    {
        using var folder = new ServerFolder();
        Assert.Null(await EmbeddedPostgres.AttachAsync(folder.Path, TestContext.Current.CancellationToken));

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

    internal static string SuperuserOf(EmbeddedPostgres server) =>
        new NpgsqlConnectionStringBuilder(server.OwnerConnectionString("postgres"))
        {
            Username = "postgres",
            Password = File.ReadAllLines(server.Folders.PasswordFile)
                .Single(line => line.StartsWith("*:*:*:postgres:", StringComparison.Ordinal)).Split(':')[4],
            Pooling = false,
        }.ConnectionString;
}
