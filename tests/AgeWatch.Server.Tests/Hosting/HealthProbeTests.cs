using AgeWatch.Server.Hosting;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Hosting;

public sealed class HealthProbeTests
{
    [Theory]
    [InlineData("http://127.0.0.1:5080", "http://127.0.0.1:5080/health/ready")]
    [InlineData("http://0.0.0.0:5080", "http://localhost:5080/health/ready")]
    [InlineData("http://[::]:5080", "http://localhost:5080/health/ready")]
    [InlineData("http://*:80", "http://localhost/health/ready")]
    [InlineData("http://+:81;http://10.0.0.1:82", "http://localhost:81/health/ready")]
    public void It_asks_where_the_server_listens(string urls, string asked) =>
        Assert.Equal(new Uri(asked), HealthProbe.AddressOf(new() { Urls = urls }));

    [Fact]
    public async Task Its_exit_code_is_the_answer()
    {
        await using var database = await TestDatabase.CreateAsync(DatabaseKind.Sqlite);
        await using var server = await OutOfProcessApp.StartAsync(database.Settings);
        (string, string)[] settings = [.. database.Settings, ("AGEWATCH_URLS", server.Address.ToString())];

        await using (var probe = OutOfProcessApp.Launch(settings, HealthProbe.Switch))
        {
            Assert.Equal(0, await probe.WaitForExitAsync());
        }

        await server.KillAsync();
        await using var again = OutOfProcessApp.Launch(settings, HealthProbe.Switch);
        Assert.Equal(1, await again.WaitForExitAsync());
    }
}
