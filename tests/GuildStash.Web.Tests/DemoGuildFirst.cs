using GuildStash.Web.Tests.Features;
using Xunit.Sdk;
using Xunit.v3;

namespace GuildStash.Web.Tests;

/// <summary>
/// Begins with the demo guild, which takes 20 seconds to make on one processor: at the end the other one would wait for it. What follows comes in the
/// same order each time.
/// </summary>
public sealed class DemoGuildFirst : ITestCollectionOrderer
{
    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(c => !c.TestCollectionDisplayName.Contains(nameof(DemoGuildTests), StringComparison.Ordinal)).ThenBy(c => c.UniqueID, StringComparer.Ordinal)];
}
