using Npgsql;

namespace GuildStash.Data.Tests.Server;

internal static class Sql
{
    public static async Task<T> ScalarAsync<T>(string connectionString, string query)
    {
        await using var connection = new NpgsqlConnection(Unpooled(connectionString));
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = new NpgsqlCommand(query, connection);
        return (T)(await command.ExecuteScalarAsync(TestContext.Current.CancellationToken))!;
    }

    public static async Task RunAsync(string connectionString, string statement)
    {
        await using var connection = new NpgsqlConnection(Unpooled(connectionString));
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = new NpgsqlCommand(statement, connection);
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Asks once on a session that goes back to the pool.</summary>
    public static async Task PooledAsync(string connectionString)
    {
        await using var connection = new NpgsqlConnection(connectionString);
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = new NpgsqlCommand("SELECT 1", connection);
        Assert.Equal(1, await command.ExecuteScalarAsync(TestContext.Current.CancellationToken));
    }

    private static string Unpooled(string connectionString) =>
        new NpgsqlConnectionStringBuilder(connectionString) { Pooling = false }.ConnectionString;
}
