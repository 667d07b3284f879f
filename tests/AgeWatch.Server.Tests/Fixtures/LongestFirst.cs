using AgeWatch.Server.Tests.Chaos;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Nights;
using Xunit.Sdk;
using Xunit.v3;

[assembly: TestCollectionOrderer(typeof(LongestFirst))]

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>Starts the tests that take minutes first, so that at the end no core waits for one of them.</summary>
public sealed class LongestFirst : ITestCollectionOrderer
{
    private static readonly Type[] Longest = [typeof(ChaosTests), typeof(HistoryTests), typeof(NightKillTests)];

    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(
        IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(Place)];

    // Each class is a collection of its own, named after it.
    private static int Place<TTestCollection>(TTestCollection collection)
        where TTestCollection : ITestCollection
    {
        var place = Array.FindIndex(Longest, test =>
            collection.TestCollectionDisplayName.Contains(test.FullName!, StringComparison.Ordinal));
        return place < 0 ? Longest.Length : place;
    }
}
