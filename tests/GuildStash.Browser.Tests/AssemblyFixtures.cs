using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]
[assembly: Xunit.AssemblyFixture(typeof(BrowserFixture))]
