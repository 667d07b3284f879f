using System.Reflection;
using AgeWatch.Storage;
using Xunit.Sdk;
using Xunit.v3;

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>
/// Runs the theory once on each database: its first argument is the <see cref="DatabaseKind"/>, then come the values
/// given here. Where there is no PostgreSQL its row is skipped and says why.
/// </summary>
[AttributeUsage(AttributeTargets.Method, AllowMultiple = true)]
public sealed class OnBothDatabasesAttribute(params object?[] values) : DataAttribute
{
    public override ValueTask<IReadOnlyCollection<ITheoryDataRow>> GetData(
        MethodInfo testMethod, DisposalTracker disposalTracker) =>
        new([.. Enum.GetValues<DatabaseKind>().Select(kind => new TheoryDataRow([kind, .. values]))]);

    public override bool SupportsDiscoveryEnumeration() => true;
}
