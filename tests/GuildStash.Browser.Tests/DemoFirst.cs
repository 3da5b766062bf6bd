using GuildStash.Browser.Tests.Access;
using Xunit.Sdk;
using Xunit.v3;

namespace GuildStash.Browser.Tests;

/// <summary>Begins with the demo guild's journeys, of which one follows the other: they take longest, and at the end the other processor would wait for them.</summary>
public sealed class DemoFirst : ITestCollectionOrderer
{
    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(c => c.TestCollectionDisplayName != DemoCollection.Name).ThenBy(c => c.UniqueID, StringComparer.Ordinal)];
}
