namespace AgeWatch.Server.Tests;

public sealed class PlaceholderTests
{
    [Fact]
    public void The_project_builds() => Assert.True(true);
}
