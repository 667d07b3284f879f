using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Delivery;
using AgeWatch.Server.Demo;
using AgeWatch.Server.Hosting;
using AgeWatch.Server.Http;
using AgeWatch.Server.Metrics;
using AgeWatch.Server.Nights;
using AgeWatch.Storage;

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
            await using var app = Build(isDemo ? DemoRun.Defaults(args) : args);
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

    /// <param name="adjust">For tests: a clock of their own, further routes.</param>
    internal static WebApplication Build(
        string[] args, Action<IServiceCollection>? adjust = null, Action<RouteGroupBuilder>? more = null)
    {
        var builder = WebApplication.CreateBuilder(args);
        builder.Configuration.AddAgeWatch(Environment.GetEnvironmentVariables(), args);
        var data = builder.Configuration.Read<DataOptions>();
        var web = builder.Configuration.Read<WebOptions>();
        var role = builder.Configuration.Read<RoleOptions>();
        builder.Services.AddAgeWatchOptions(builder.Configuration);
        builder.AddAgeWatchLogging(builder.Configuration.Read<LogOptions>());
        builder.WebHost.UseUrls(web.Urls).ConfigureKestrel(Pipeline.ConfigureKestrel);
        builder.Services.AddDbContextPool<AgeWatchContext>(options => options.UseAgeWatch(data.Kind, data.Connection));
        builder.Services.AddV1(web);
        builder.Services.AddSingleton(TimeProvider.System).AddScoped<FirstStart>();
        builder.Services.AddResources();
        builder.Services.AddNights(data, role);
        builder.Services.AddDelivery(builder.Configuration, role);
        builder.Services.AddFigures(builder.Configuration);
        adjust?.Invoke(builder.Services);

        var app = builder.Build();
        app.UseAgeWatchPipeline(web);
        app.MapHealth();
        app.MapFigures();
        if (role.IsApi)
        {
            var v1 = app.MapV1();
            v1.MapResources();
            app.MapDelivery(v1);
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
