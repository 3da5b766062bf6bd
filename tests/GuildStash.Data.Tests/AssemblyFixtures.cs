using GuildStash.TestSupport;

[assembly: AssemblyFixture(typeof(PostgresFixture))]
