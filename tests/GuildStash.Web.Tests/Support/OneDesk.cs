using GuildStash.TestSupport;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>One desk room for all tests of a class that change nothing in it, or each something else.</summary>
public sealed class OneDesk(PostgresFixture postgres) : IAsyncLifetime
{
    public DeskRoom Room { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Room = await DeskRoom.OpenAsync(postgres);

    public ValueTask DisposeAsync() => Room.DisposeAsync();
}
