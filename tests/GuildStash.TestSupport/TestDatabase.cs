using Npgsql;

namespace GuildStash.TestSupport;

/// <summary>A database of one test's own; disposing drops it, or makes it new for another test.</summary>
public sealed class TestDatabase : IAsyncDisposable
{
    private readonly Func<string, Task> _drop;
    private readonly Func<string, Task<bool>> _takeBack;
    private int _isGivenBack;

    /// <param name="takeBack">Makes it new, with the connections to it; not, where it must be dropped.</param>
    internal TestDatabase(string name, string owner, string app, Func<string, Task> drop, Func<string, Task<bool>> takeBack) =>
        (Name, OwnerConnectionString, AppConnectionString, _drop, _takeBack) = (name, owner, app, drop, takeBack);

    public string Name { get; }

    /// <summary>The role that owns the database: migrations, restore, preparing rows that no use case makes.</summary>
    public string OwnerConnectionString { get; }

    /// <summary>The running app's lesser role, with the rights that the migrations gave it.</summary>
    public string AppConnectionString { get; }

    /// <summary>
    /// The same database by connections that don't ask it for its types: each pool did so anew, for a third of what opening it costs. PostgreSQL's
    /// own types are known without asking, and the schema adds none. What one of them asks twice is planned once, since the next test asks it too.
    /// </summary>
    public TestDatabase ForManyTests() => new(Name, Known(OwnerConnectionString), Known(AppConnectionString), _drop, _takeBack);

    public async ValueTask DisposeAsync()
    {
        // Given back a second time, it may be another test's.
        if (Interlocked.Exchange(ref _isGivenBack, 1) != 0 || await _takeBack(Name).ConfigureAwait(false))
        {
            return;
        }

        foreach (var connection in new[] { OwnerConnectionString, AppConnectionString })
        {
            await using var pooled = new NpgsqlConnection(connection);
            NpgsqlConnection.ClearPool(pooled);
        }

        await _drop(Name).ConfigureAwait(false);
    }

#pragma warning disable CS0618 // A data source would be the newer place for it, but the application opens its connections from a string.
    private static string Known(string connection) =>
        new NpgsqlConnectionStringBuilder(connection) { ServerCompatibilityMode = ServerCompatibilityMode.NoTypeLoading, MaxAutoPrepare = 200, AutoPrepareMinUsages = 2 }.ConnectionString;
#pragma warning restore CS0618
}
