using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Faults;
using GuildStash.Browser.Tests.Journeys;
using GuildStash.Browser.Tests.Support;
using GuildStash.TestSupport;

[assembly: Xunit.AssemblyFixture(typeof(PostgresFixture))]
[assembly: Xunit.AssemblyFixture(typeof(BrowserFixture))]

// One more than a small machine's processors: somebody always waits for a page.
[assembly: Xunit.v3.Parallelization(MaxThreads = 3)]
[assembly: Xunit.TestCollectionOrderer(typeof(GuildStash.Browser.Tests.LongestFirst))]

namespace GuildStash.Browser.Tests;

public sealed class LongestFirst() : FirstInOrder(DemoCollection.Name, OneAtATime.Name, nameof(DraftJourney));
