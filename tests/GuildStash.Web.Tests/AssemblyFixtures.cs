using GuildStash.TestSupport;
using GuildStash.Web.Tests.Features;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]

// More tests at a time than processors: each waits for its database half of the time.
[assembly: Xunit.v3.Parallelization(MaxThreads = 4)]
[assembly: Xunit.TestCollectionOrderer(typeof(GuildStash.Web.Tests.LongestFirst))]

namespace GuildStash.Web.Tests;

/// <summary>The demo guild takes 20 seconds to make, on one processor.</summary>
public sealed class LongestFirst() : FirstInOrder(nameof(DemoGuildTests));
