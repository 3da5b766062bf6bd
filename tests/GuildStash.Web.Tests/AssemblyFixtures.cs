using GuildStash.TestSupport;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]
