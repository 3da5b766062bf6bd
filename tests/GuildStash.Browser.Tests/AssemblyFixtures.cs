using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]
[assembly: Xunit.AssemblyFixture(typeof(BrowserFixture))]
// Each journey has a site and a browser context of its own; two at a time is what a small machine carries.
[assembly: Xunit.CollectionBehavior(MaxParallelThreads = 2)]
