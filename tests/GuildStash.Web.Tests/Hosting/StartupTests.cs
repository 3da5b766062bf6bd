using System.Net;
using System.Net.Sockets;
using GuildStash.Data.Server;
using GuildStash.Web.Infrastructure.Hosting;
using Xunit;

namespace GuildStash.Web.Tests.Hosting;

public sealed class StartupTests
{
    [Theory]
    [InlineData("localhost")]
    [InlineData("127.0.0.1")]
    [InlineData("*")]
    public void CheckPort_WhenTaken_NamesThePortAndAWayOut(string bind)
    {
        using var other = new TcpListener(IPAddress.Loopback, 0);
        other.Start();
        var port = ((IPEndPoint)other.LocalEndpoint).Port;

        var fault = Assert.Throws<StartupException>(() => Startup.CheckPort(Options(port, bind)));

        Assert.Contains($"Port {port} is already in use", fault.Message);
        Assert.Contains("--port", fault.Message);
    }

    [Fact]
    public void CheckPort_WhenFree_LeavesItFree()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        var port = ((IPEndPoint)probe.LocalEndpoint).Port;
        probe.Stop();

        Startup.CheckPort(Options(port, "localhost"));
        Startup.CheckPort(Options(port, "localhost"));
    }

    [Fact]
    public void CheckPort_WhenAddressIsElsewhere_SaysSo()
    {
        // 192.0.2.0/24 is set aside for documentation (RFC 5737), so it is no machine's own.
        var fault = Assert.Throws<StartupException>(() => Startup.CheckPort(Options(5080, "192.0.2.1")));

        Assert.Contains("192.0.2.1 is not an address of this machine", fault.Message);
    }

    [Fact]
    public async Task Run_WhenWorkCannotStart_EndsWithTwo()
    {
        Assert.Equal(2, await Startup.RunAsync(_ => throw new ServerStartException("The server is away.")));
        Assert.Equal(2, await Startup.RunAsync(_ => throw new StartupException("The port is taken.")));
        Assert.Equal(7, await Startup.RunAsync(_ => Task.FromResult(7)));
    }

    [Fact]
    public async Task OpenDatabase_WhenNamedServerIsAway_SaysWhichWithoutThePassword()
    {
        var options = Options(5080, "localhost") with
        {
            Database = "Host=127.0.0.1;Port=1;Database=stash;Username=owner;Password=sesame",
        };

        var fault = await Assert.ThrowsAsync<StartupException>(
            () => DatabaseHandle.OpenAsync(options, cancellation: TestContext.Current.CancellationToken));

        Assert.Contains("owner at 127.0.0.1:1, database stash", fault.Message);
        Assert.DoesNotContain("sesame", fault.Message);
    }

    private static AppOptions Options(int port, string bind) =>
        new(AppCommand.Serve, port, "/nowhere", null, null, null, bind, false, null, null);
}
