using GuildStash.TestSupport;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>One room for all tests of a class that change nothing in it.</summary>
public sealed class SharedApiRoom(PostgresFixture postgres) : IAsyncLifetime
{
    public ApiRoom Room { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Room = await ApiRoom.OpenAsync(postgres);

    public ValueTask DisposeAsync() => Room.DisposeAsync();
}
