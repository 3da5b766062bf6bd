using GuildStash.TestSupport;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]

// More tests at a time than processors: each waits for its database half of the time.
[assembly: Xunit.v3.Parallelization(MaxThreads = 4)]
[assembly: Xunit.TestCollectionOrderer(typeof(GuildStash.Web.Tests.DemoGuildFirst))]
