using Npgsql;

namespace GuildStash.Data.Server;

/// <summary>
/// The two roles and the database. The owner migrates and restores; the running app signs in with the lesser role, which
/// gets its rights on tables from the migrations.
/// </summary>
internal static class ServerRoles
{
    public const string Database = "guildstash";

    /// <summary>Makes what is missing; safe to repeat after an interruption at any point.</summary>
    /// <param name="superuser">Connection of the first role.</param>
    public static async Task EnsureAsync(string superuser, ServerCredentials credentials, CancellationToken cancellation)
    {
        await using var connection = new NpgsqlConnection(superuser);
        await connection.OpenAsync(cancellation).ConfigureAwait(false);
        // CREATEDB: a restore goes into a new database, which then takes the old one's name.
        await EnsureRoleAsync(connection, ServerCredentials.Owner, "CREATEDB", credentials, cancellation).ConfigureAwait(false);
        await EnsureRoleAsync(connection, ServerCredentials.App, "NOCREATEDB", credentials, cancellation).ConfigureAwait(false);
        if (!await ExistsAsync(connection, "SELECT 1 FROM pg_database WHERE datname = $1", Database, cancellation).ConfigureAwait(false))
        {
            await RunAsync(connection, $"CREATE DATABASE {Database} OWNER {ServerCredentials.Owner}", cancellation).ConfigureAwait(false);
        }

        await RunAsync(
            connection,
            $"REVOKE ALL ON DATABASE {Database} FROM PUBLIC; GRANT CONNECT ON DATABASE {Database} TO {ServerCredentials.App}",
            cancellation).ConfigureAwait(false);
    }

    private static async Task EnsureRoleAsync(
        NpgsqlConnection connection, string role, string rights, ServerCredentials credentials, CancellationToken cancellation)
    {
        if (await ExistsAsync(connection, "SELECT 1 FROM pg_roles WHERE rolname = $1", role, cancellation).ConfigureAwait(false))
        {
            return;
        }

        // A role's password takes no parameter; generated passwords are letters and digits only.
        await RunAsync(
            connection,
            $"CREATE ROLE {role} LOGIN NOSUPERUSER NOCREATEROLE {rights} PASSWORD '{credentials.PasswordOf(role)}'",
            cancellation).ConfigureAwait(false);
    }

    private static async Task<bool> ExistsAsync(
        NpgsqlConnection connection, string query, string name, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(query, connection);
        command.Parameters.Add(new NpgsqlParameter { Value = name });
        return await command.ExecuteScalarAsync(cancellation).ConfigureAwait(false) is not null;
    }

    private static async Task RunAsync(NpgsqlConnection connection, string statement, CancellationToken cancellation)
    {
        await using var command = new NpgsqlCommand(statement, connection);
        await command.ExecuteNonQueryAsync(cancellation).ConfigureAwait(false);
    }
}
