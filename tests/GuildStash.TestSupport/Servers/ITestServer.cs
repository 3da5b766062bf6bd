namespace GuildStash.TestSupport.Servers;

/// <summary>A PostgreSQL server that the tests may make databases on.</summary>
internal interface ITestServer : IAsyncDisposable
{
    string Description { get; }

    /// <summary>May create and drop databases owned by the owner role.</summary>
    string AdminConnectionString { get; }

    string OwnerConnectionString(string database);

    string AppConnectionString(string database);
}

/// <summary>Role names as the migrations expect them.</summary>
public static class TestRoles
{
    public const string Owner = "guildstash_owner";
    public const string App = "guildstash_app";
}
