using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Demo;
using AgeWatch.Server.Hosting;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Metrics;
using AgeWatch.Server.Nights;

namespace AgeWatch.Server;

internal sealed class Program
{
    private Program()
    {
    }

    public static async Task<int> Main(string[] args)
    {
        try
        {
            if (args is [HealthProbe.Switch])
            {
                return await HealthProbe.RunAsync(args);
            }

            var isDemo = args.Contains(DemoRun.Flag);
            await using var app = isDemo ? Build(DemoRun.Defaults(args), DemoRun.KeepMailHere) : Build(args);
            await PrepareAsync(app);
            if (args.Contains(RecomputeCommand.Switch))
            {
                return await RecomputeCommand.RunAsync(app, Console.Out);
            }

            await app.StartAsync();
            if (isDemo)
            {
                await DemoRun.ShowAsync(app);
            }

            await app.WaitForShutdownAsync();
            return 0;
        }
        catch (Exception fault) when (StartFault.Of(fault) is { } message)
        {
            await Console.Error.WriteLineAsync($"AgeWatch cannot start.{Environment.NewLine}{message}");
            return 1;
        }
    }

    /// <param name="adjust">Services in place of the usual ones: the demo's mail, a test's clock.</param>
    /// <param name="more">For tests: further routes.</param>
    internal static WebApplication Build(
        string[] args, Action<IServiceCollection>? adjust = null, Action<RouteGroupBuilder>? more = null)
    {
        var builder = WebApplication.CreateBuilder(args);
        builder.Configuration.AddAgeWatch(Environment.GetEnvironmentVariables(), args);
        builder.AddAgeWatch();
        adjust?.Invoke(builder.Services);

        var app = builder.Build();
        app.UseAgeWatchPipeline();
        app.MapHealth();
        app.MapFigures();
        if (app.Services.GetRequiredService<RoleOptions>().IsApi)
        {
            var v1 = app.MapV1();
            AllResources.MapResources(app, v1);
            more?.Invoke(v1);
        }

        return app;
    }

    /// <summary>All that must be true before the first request.</summary>
    internal static async Task PrepareAsync(WebApplication app)
    {
        if (PartCatalogue.BuiltIn.Validate() is [var fault, ..])
        {
            throw new InvalidOperationException($"The catalogue is not sound: {fault}");
        }

        await using var scope = app.Services.CreateAsyncScope();
        await scope.ServiceProvider.GetRequiredService<FirstStart>().RunAsync(app.Lifetime.ApplicationStopping);
    }
}
