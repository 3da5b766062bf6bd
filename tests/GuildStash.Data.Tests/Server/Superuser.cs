using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.Tests.Server;

internal static class Superuser
{
    public static string Of(EmbeddedPostgres server) =>
        new NpgsqlConnectionStringBuilder(server.OwnerConnectionString("postgres"))
        {
            Username = "postgres",
            Password = File.ReadAllLines(server.Folders.PasswordFile)
                .Single(line => line.StartsWith("*:*:*:postgres:", StringComparison.Ordinal)).Split(':')[4],
            Pooling = false,
        }.ConnectionString;
}
