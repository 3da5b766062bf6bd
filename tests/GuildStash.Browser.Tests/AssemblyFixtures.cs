using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]
[assembly: Xunit.AssemblyFixture(typeof(BrowserFixture))]

// One more than a small machine's processors: somebody always waits for a page.
[assembly: Xunit.v3.Parallelization(MaxThreads = 3)]
[assembly: Xunit.TestCollectionOrderer(typeof(GuildStash.Browser.Tests.DemoFirst))]
