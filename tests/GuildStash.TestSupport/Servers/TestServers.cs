using GuildStash.Data.Server;

namespace GuildStash.TestSupport.Servers;

internal static class TestServers
{
    public static async Task<ITestServer> StartAsync()
    {
        if (Environment.GetEnvironmentVariable(PostgresFixture.EnvironmentName) is { Length: > 0 } named)
        {
            return await ForeignTestServer.PrepareAsync(named, $"server named by {PostgresFixture.EnvironmentName}", null)
                .ConfigureAwait(false);
        }

        try
        {
            return await EmbeddedTestServer.StartAsync().ConfigureAwait(false);
        }
        catch (ServerProgramsMissingException)
        {
            return await ForeignTestServer.InContainerAsync().ConfigureAwait(false);
        }
    }
}
