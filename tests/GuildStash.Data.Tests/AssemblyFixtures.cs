using GuildStash.TestSupport;

[assembly: AssemblyFixture(typeof(PostgresFixture))]
[assembly: System.Runtime.Versioning.SupportedOSPlatform("linux")]
