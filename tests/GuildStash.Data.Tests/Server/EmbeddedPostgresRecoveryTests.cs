using System.Diagnostics;
using System.Globalization;
using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.Tests.Server;

public sealed class EmbeddedPostgresRecoveryTests(ServerTemplate template)
{
    private const int Kill = 9;

    [Fact]
    public async Task Supervise_WhenServerIsKilled_AnswersAgainWithCommittedRows()
    {
        using var folder = ServerFolder.Used(template);
        await using var server = await folder.StartAsync(durable: true);
        var killed = server.ProcessId;
        await Sql.RunAsync(
            server.OwnerConnectionString(),
            "CREATE TABLE lot (grams int); INSERT INTO lot SELECT 1 FROM generate_series(1, 20000)");

        PosixCalls.Signal(killed, Kill);

        Assert.Equal(20000, await AnswerAsync(server.OwnerConnectionString(), "SELECT sum(grams) FROM lot"));
        Assert.NotEqual(killed, server.ProcessId);
        Assert.True(ClusterProcesses.IsAlive(server.ProcessId));
    }

    [Fact]
    public async Task Supervise_WhenServerIsKilled_PooledSessionsFailNoLaterQuery()
    {
        using var folder = ServerFolder.Used(template);
        await using var server = await folder.StartAsync();
        await Sql.PooledAsync(server.AppConnectionString());

        PosixCalls.Signal(server.ProcessId, Kill);
        await AnswerAsync(server.AppConnectionString(), "SELECT 1::bigint");

        await Sql.PooledAsync(server.AppConnectionString());
    }

    [Fact]
    public async Task Dispose_WhenServerWasJustKilled_LeavesNothingRunning()
    {
        using var folder = ServerFolder.Used(template);
        var server = await folder.StartAsync();
        PosixCalls.Signal(server.ProcessId, Kill);

        await server.DisposeAsync();

        Assert.False(ClusterProcesses.IsAlive(server.ProcessId));
        await using var again = await folder.StartAsync();
        Assert.Equal(1, await Sql.ScalarAsync<int>(again.OwnerConnectionString(), "SELECT 1"));
    }

    [Fact]
    public async Task Start_WhenAppWasKilled_AdoptsItsServerAndStopsIt()
    {
        using var folder = ServerFolder.Used(template);
        using var host = await HostProcess.StartAsync(folder.Path);
        var refusal = await folder.RefusalAsync();
        host.Kill();
        Assert.True(ClusterProcesses.IsAlive(host.ServerProcessId));

        await using (var server = await folder.StartAsync())
        {
            Assert.Equal(host.ServerProcessId, server.ProcessId);
            Assert.Equal(1, await Sql.ScalarAsync<int>(server.AppConnectionString(), "SELECT 1"));
        }

        Assert.Contains($"process {host.ProcessId.ToString(CultureInfo.InvariantCulture)}", refusal);
        Assert.False(ClusterProcesses.IsAlive(host.ServerProcessId));
    }

    [Fact]
    public async Task Supervise_WhenAdoptedServerIsKilled_StartsAnother()
    {
        using var folder = ServerFolder.Used(template);
        using var host = await HostProcess.StartAsync(folder.Path);
        host.Kill();
        await using var server = await folder.StartAsync();

        PosixCalls.Signal(host.ServerProcessId, Kill);

        Assert.Equal(7, await AnswerAsync(server.OwnerConnectionString(), "SELECT 7::bigint"));
        Assert.NotEqual(host.ServerProcessId, server.ProcessId);
    }

    [Fact]
    public async Task Start_WhenAppAndServerWereKilled_Recovers()
    {
        using var folder = ServerFolder.Used(template);
        using var host = await HostProcess.StartAsync(folder.Path);
        await using (var attached = await EmbeddedPostgres.AttachAsync(folder.Path, TestContext.Current.CancellationToken))
        {
            await Sql.RunAsync(attached!.OwnerConnectionString(), "CREATE TABLE lot AS SELECT 150 AS grams");
        }

        host.Kill();
        PosixCalls.Signal(host.ServerProcessId, Kill);

        await using var server = await folder.StartAsync();
        Assert.NotEqual(host.ServerProcessId, server.ProcessId);
        Assert.Equal(150, await Sql.ScalarAsync<int>(server.OwnerConnectionString(), "SELECT grams FROM lot"));
    }

    [Fact]
    public async Task Start_WhenOrphanCannotBeReached_ReplacesIt()
    {
        using var folder = ServerFolder.Used(template);
        using var host = await HostProcess.StartAsync(folder.Path);
        host.Kill();
        Directory.Delete(folder.Folders.SocketFolder, recursive: true);

        await using var server = await folder.StartAsync();

        Assert.NotEqual(host.ServerProcessId, server.ProcessId);
        Assert.False(ClusterProcesses.IsAlive(host.ServerProcessId));
        Assert.Equal(1, await Sql.ScalarAsync<int>(server.OwnerConnectionString(), "SELECT 1"));
    }

    [Fact]
    public async Task Start_WhenOldProcessNumberIsTakenByAnotherProgram_Starts()
    {
        using var folder = ServerFolder.Used(template);
        using var other = Process.Start("sleep", ["60"]);
        await File.WriteAllTextAsync(
            folder.Folders.PostmasterFile,
            $"{other.Id}\n{folder.Folders.Cluster}\n1\n5432\n{folder.Folders.SocketFolder}\n\n   1   1\nready   \n",
            TestContext.Current.CancellationToken);

        await using (var server = await folder.StartAsync())
        {
            Assert.Equal(1, await Sql.ScalarAsync<int>(server.OwnerConnectionString(), "SELECT 1"));
        }

        Assert.False(other.HasExited);
        other.Kill();
    }

    [Theory]
    [InlineData(0, false, 0.1)]
    [InlineData(3, false, 0.8)]
    [InlineData(12, false, 30)]
    [InlineData(1000, false, 30)]
    [InlineData(3, true, 0.8)]
    [InlineData(5, true, 2)]
    [InlineData(1000, true, 2)]
    public void KnownPause_DoublesUpToHalfAMinuteOrTwoSecondsForAServerThatAnswered(int failures, bool hasAnswered, double seconds) =>
        Assert.Equal(seconds, PostmasterSupervisor.PauseAfter(failures, hasAnswered).TotalSeconds);

    /// <summary>Asks until the server is back; fails when that takes longer than 20 s.</summary>
    private static async Task<long> AnswerAsync(string connectionString, string query)
    {
        var deadline = DateTime.UtcNow.AddSeconds(20);
        while (true)
        {
            try
            {
                return await Sql.ScalarAsync<long>(connectionString, query);
            }
            catch (NpgsqlException) when (DateTime.UtcNow < deadline)
            {
                await Task.Delay(50, TestContext.Current.CancellationToken);
            }
        }
    }
}
