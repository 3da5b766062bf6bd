using GuildStash.Data.Server;

namespace GuildStash.TestSupport.Servers;

/// <summary>
/// The embedded server in a temporary folder, in memory where there is room. Its writes are not forced to disk: a test database may be lost, and tests
/// of durability start a server of their own.
/// </summary>
internal sealed class EmbeddedTestServer : ITestServer
{
    private const string FolderPrefix = "guildstash-test-";

    /// <summary>Linux keeps these files in memory: making the 600 of a database there costs a twentieth of the processor time.</summary>
    private const string MemoryFolder = "/dev/shm";

    private const long RoomNeeded = 4L << 30;

    private readonly EmbeddedPostgres _server;

    private EmbeddedTestServer(EmbeddedPostgres server) => _server = server;

    public string Description => $"embedded PostgreSQL {_server.MajorVersion} in {_server.Folders.Root}";

    public string AdminConnectionString => _server.SuperuserConnectionString();

    public static async Task<ITestServer> StartAsync()
    {
        await RemoveLeftoversAsync().ConfigureAwait(false);
        var folder = Path.Combine(Parent(), FolderPrefix + Guid.CreateVersion7().ToString("N")[..16]);
        return new EmbeddedTestServer(await StartIn(folder).ConfigureAwait(false));
    }

    public string OwnerConnectionString(string database) => _server.OwnerConnectionString(database);

    public string AppConnectionString(string database) => _server.AppConnectionString(database);

    public async ValueTask DisposeAsync()
    {
        await _server.DisposeAsync().ConfigureAwait(false);
        Directory.Delete(_server.Folders.Root, recursive: true);
    }

    private static string Parent() =>
        Directory.Exists(MemoryFolder) && new DriveInfo(MemoryFolder).AvailableFreeSpace > RoomNeeded ? MemoryFolder : Path.GetTempPath();

    private static Task<EmbeddedPostgres> StartIn(string folder) => EmbeddedPostgres.StartAsync(
        new EmbeddedPostgresOptions { DataDirectory = folder, Durable = false }, CancellationToken.None);

    /// <summary>A test program that was killed leaves its server running: adopting it and stopping it clears both.</summary>
    private static async Task RemoveLeftoversAsync()
    {
        foreach (var folder in new DirectoryInfo(Parent()).EnumerateDirectories(FolderPrefix + "*"))
        {
            // A younger folder may belong to a program that has not taken its lock yet.
            if (DateTime.UtcNow - folder.CreationTimeUtc < TimeSpan.FromMinutes(1))
            {
                continue;
            }

            try
            {
                await using (await StartIn(folder.FullName).ConfigureAwait(false))
                {
                }

                folder.Delete(recursive: true);
            }
            catch (Exception fault) when (fault is ServerStartException or IOException or UnauthorizedAccessException)
            {
                // In use by another test program, or another user's: not ours to clear.
            }
        }
    }
}
