using Npgsql;

namespace GuildStash.TestSupport;

/// <summary>A database of one test's own; disposing drops it.</summary>
public sealed class TestDatabase : IAsyncDisposable
{
    private readonly Func<string, Task> _drop;

    internal TestDatabase(string name, string owner, string app, Func<string, Task> drop) =>
        (Name, OwnerConnectionString, AppConnectionString, _drop) = (name, owner, app, drop);

    public string Name { get; }

    /// <summary>The role that owns the database: migrations, restore, preparing rows that no use case makes.</summary>
    public string OwnerConnectionString { get; }

    /// <summary>The running app's lesser role, with the rights that the migrations gave it.</summary>
    public string AppConnectionString { get; }

    /// <summary>
    /// The same database by connections that don't ask it for its types: each pool did so anew, for a third of what opening it costs. PostgreSQL's
    /// own types are known without asking, and the schema adds none.
    /// </summary>
    public TestDatabase WithKnownTypes() => new(Name, KnowTypes(OwnerConnectionString), KnowTypes(AppConnectionString), _drop);

    public async ValueTask DisposeAsync()
    {
        foreach (var connection in new[] { OwnerConnectionString, AppConnectionString })
        {
            await using var pooled = new NpgsqlConnection(connection);
            NpgsqlConnection.ClearPool(pooled);
        }

        await _drop(Name).ConfigureAwait(false);
    }

#pragma warning disable CS0618 // A data source would be the newer place for it, but the application opens its connections from a string.
    private static string KnowTypes(string connection) =>
        new NpgsqlConnectionStringBuilder(connection) { ServerCompatibilityMode = ServerCompatibilityMode.NoTypeLoading }.ConnectionString;
#pragma warning restore CS0618
}
