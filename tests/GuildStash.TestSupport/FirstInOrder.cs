using Xunit.Sdk;
using Xunit.v3;

namespace GuildStash.TestSupport;

/// <summary>
/// Begins with the collections that take longest, so that none of them is left to run alone at the end while processors wait. The others follow
/// in the same order each time.
/// </summary>
/// <param name="first">Parts of their names, the first one first.</param>
public abstract class FirstInOrder(params string[] first) : ITestCollectionOrderer
{
    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(PlaceOf).ThenBy(c => c.UniqueID, StringComparer.Ordinal)];

    private int PlaceOf<TTestCollection>(TTestCollection collection)
        where TTestCollection : ITestCollection
    {
        int place = Array.FindIndex(first, name => collection.TestCollectionDisplayName.Contains(name, StringComparison.Ordinal));
        return place < 0 ? first.Length : place;
    }
}
