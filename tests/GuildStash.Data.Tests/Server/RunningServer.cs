using GuildStash.Data.Server;

namespace GuildStash.Data.Tests.Server;

/// <summary>One server for the tests that only look at it.</summary>
public sealed class RunningServer(ServerTemplate template) : IAsyncLifetime
{
    private readonly ServerFolder _folder = ServerFolder.Used(template);
    private EmbeddedPostgres? _server;

    internal ServerFolder Folder => _folder;

    internal EmbeddedPostgres Server => _server!;

    public async ValueTask InitializeAsync() => _server = await _folder.StartAsync();

    public async ValueTask DisposeAsync()
    {
        await Server.DisposeAsync();
        _folder.Dispose();
    }
}
