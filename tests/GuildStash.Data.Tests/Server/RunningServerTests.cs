using System.Globalization;
using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.Tests.Server;

public sealed class RunningServerTests(RunningServer running) : IClassFixture<RunningServer>
{
    [Fact]
    public async Task Start_WhenFolderIsInUse_IsRefusedNamingTheProcess()
    {

        var sentence = await running.Folder.RefusalAsync();

        Assert.Contains("already works on the data folder", sentence);
        Assert.Contains($"process {Environment.ProcessId.ToString(CultureInfo.InvariantCulture)}", sentence);
        Assert.Equal(1, await Sql.ScalarAsync<int>(running.Server.OwnerConnectionString(), "SELECT 1"));
    }

    [Fact]
    public async Task Start_Always_ListensOnNoNetworkAddress()
    {

        Assert.Equal("", await Sql.ScalarAsync<string>(running.Server.OwnerConnectionString(), "SHOW listen_addresses"));
        Assert.Empty(NetworkListeners.Of(running.Server.ProcessId));
    }

    [Fact]
    public async Task Start_Always_PasswordFileIsPrivate()
    {

        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(running.Folder.Folders.PasswordFile));
        Assert.Equal(
            UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute,
            File.GetUnixFileMode(running.Server.SocketFolder));
        Assert.DoesNotContain(
            Directory.EnumerateFileSystemEntries(running.Folder.Path), entry => entry.Contains("unfinished", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Start_Always_RunsAsAnOrdinaryUserInItsOwnSession()
    {
        var status = await File.ReadAllTextAsync($"/proc/{running.Server.ProcessId}/stat", TestContext.Current.CancellationToken);
        var session = status[(status.LastIndexOf(')') + 2)..].Split(' ')[3];

        var user = PosixCalls.OwnerOf($"/proc/{running.Server.ProcessId}")!.Value.User;
        Assert.NotEqual(0u, user);
        Assert.Equal(PosixCalls.IsRoot, user != PosixCalls.EffectiveUser);
        Assert.Equal(running.Server.ProcessId.ToString(CultureInfo.InvariantCulture), session);
    }

    [Fact]
    public async Task Connect_WhenPasswordIsWrong_IsRefusedByScram()
    {
        var wrong = new NpgsqlConnectionStringBuilder(running.Server.OwnerConnectionString()) { Password = "wrong", Pooling = false };

        var fault = await Assert.ThrowsAsync<PostgresException>(() => Sql.ScalarAsync<int>(wrong.ConnectionString, "SELECT 1"));

        Assert.Equal(PostgresErrorCodes.InvalidPassword, fault.SqlState);
        Assert.StartsWith("SCRAM-SHA-256$", await Sql.ScalarAsync<string>(
            running.Server.SuperuserConnectionString(), "SELECT rolpassword FROM pg_authid WHERE rolname = 'guildstash_app'"));
    }

    [Fact]
    public async Task Roles_Always_AppIsLesserThanOwner()
    {
        await Sql.RunAsync(running.Server.OwnerConnectionString(), "CREATE TABLE lot (grams int)");

        Assert.Equal("guildstash_owner", await Sql.ScalarAsync<string>(
            running.Server.OwnerConnectionString(), "SELECT pg_get_userbyid(datdba)::text FROM pg_database WHERE datname = current_database()"));
        foreach (var statement in new[] { "SELECT count(*) FROM lot", "CREATE TABLE mine (n int)", "CREATE DATABASE mine", "CREATE TEMP TABLE t (n int)" })
        {
            var fault = await Assert.ThrowsAsync<PostgresException>(() => Sql.RunAsync(running.Server.AppConnectionString(), statement));
            Assert.Equal(PostgresErrorCodes.InsufficientPrivilege, fault.SqlState);
        }

        Assert.False(await Sql.ScalarAsync<bool>(
            running.Server.OwnerConnectionString(), "SELECT rolsuper OR rolcreaterole FROM pg_roles WHERE rolname = current_user"));
    }

    [Fact]
    public async Task Attach_WhenAppRuns_UsesItsServerAndLeavesItRunning()
    {

        await using (var attached = await EmbeddedPostgres.AttachAsync(running.Folder.Path, TestContext.Current.CancellationToken))
        {
            Assert.NotNull(attached);
            Assert.True(attached.IsAttached);
            Assert.Equal(running.Server.ProcessId, attached.ProcessId);
            Assert.Equal(1, await Sql.ScalarAsync<int>(attached.AppConnectionString(), "SELECT 1"));
        }

        Assert.Equal(1, await Sql.ScalarAsync<int>(running.Server.AppConnectionString(), "SELECT 1"));
    }
}
