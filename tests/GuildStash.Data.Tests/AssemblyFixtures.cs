using GuildStash.Data.Tests.Server;
using GuildStash.TestSupport;

[assembly: AssemblyFixture(typeof(PostgresFixture))]
[assembly: AssemblyFixture(typeof(ServerTemplate))]
[assembly: System.Runtime.Versioning.SupportedOSPlatform("linux")]
