using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Components;

/// <summary>One server for the refusals of a test class: they store nothing, so they cannot disturb each
/// other.</summary>
public sealed class SharedApp : IAsyncLifetime
{
    public TestApp App { get; private set; } = null!;

    public async ValueTask InitializeAsync() => App = await TestApp.StartAsync(DatabaseKind.Sqlite);

    public async ValueTask DisposeAsync() => await App.DisposeAsync();
}
