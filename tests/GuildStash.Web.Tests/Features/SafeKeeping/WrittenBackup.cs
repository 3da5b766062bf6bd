using GuildStash.Data.SafeKeeping;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

/// <summary>The archive of one busy room, for all tests of a class that only read it.</summary>
public sealed class WrittenBackup(PostgresFixture postgres) : IAsyncLifetime
{
    private BusyRoom _room = null!;

    public string File => PathOf("guild.zip");

    public string PathOf(string name) => _room.PathOf(name);

    public async ValueTask InitializeAsync()
    {
        _room = await BusyRoom.OpenAsync(postgres);
        await Backup.WriteAsync(_room.Guild.OwnerConnectionString, File, null, GuildRoom.Cancellation);
    }

    public ValueTask DisposeAsync() => _room.DisposeAsync();
}
