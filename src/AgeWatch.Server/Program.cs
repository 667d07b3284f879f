using AgeWatch.Server.Calculations;
using AgeWatch.Server.Due;
using AgeWatch.Server.Hosting;
using AgeWatch.Server.Http;
using AgeWatch.Server.Imports;
using AgeWatch.Server.Marks;
using AgeWatch.Server.Members;
using AgeWatch.Server.PartKinds;
using AgeWatch.Server.Vehicles;
using AgeWatch.Storage;
using Microsoft.Extensions.DependencyInjection.Extensions;

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
            await using var app = Build(args);
            await PrepareAsync(app);
            await app.RunAsync();
            return 0;
        }
        catch (Exception fault) when (fault is SettingsException or NewerSchemaException or TimeoutException)
        {
            await Console.Error.WriteLineAsync($"AgeWatch cannot start.{Environment.NewLine}{Redaction.Of(fault.Message)}");
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
        builder.Services.AddSingleton(data).AddSingleton(web).AddSingleton(role)
            .AddSingleton(builder.Configuration.Read<ClubOptions>())
            .AddSingleton(builder.Configuration.Read<MailOptions>())
            .AddSingleton(builder.Configuration.Read<WebhookOptions>());

        builder.AddAgeWatchLogging(builder.Configuration.Read<LogOptions>());
        builder.WebHost.UseUrls(web.Urls).ConfigureKestrel(Pipeline.ConfigureKestrel);
        builder.Services.AddDbContextPool<AgeWatchContext>(options => options.UseAgeWatch(data.Kind, data.Connection));
        builder.Services.ConfigureHttpJsonOptions(json => WireJson.Configure(json.SerializerOptions));
        builder.Services.AddHealth();
        builder.Services.AddKeys();
        builder.Services.AddAgeWatchDocument(web);
        builder.Services.TryAddSingleton(TimeProvider.System);
        builder.Services.AddSingleton<Cursor>().AddScoped<FirstStart>();
        builder.Services.AddScoped<Ledger>().AddScoped<Recompute>();
        builder.Services.AddScoped<Import>();
        adjust?.Invoke(builder.Services);

        var app = builder.Build();
        app.UseAgeWatchPipeline(web);
        app.MapHealth();
        if (role.IsApi)
        {
            app.MapOpenApi("/openapi/{documentName}.json").AllowAnonymous();
            app.MapProblemPages();
            var v1 = app.MapV1();
            v1.MapVehicles();
            v1.MapOdometers();
            v1.MapMembers();
            v1.MapKeys();
            v1.MapDue();
            v1.MapDueCalculation();
            v1.MapUsageCalculation();
            v1.MapMarkCalculations();
            v1.MapPartKinds();
            v1.MapMarkConventions();
            v1.MapImports();
            more?.Invoke(v1);
        }

        return app;
    }

    /// <summary>All that must be true before the first request.</summary>
    internal static async Task PrepareAsync(WebApplication app)
    {
        await using var scope = app.Services.CreateAsyncScope();
        await scope.ServiceProvider.GetRequiredService<FirstStart>().RunAsync(app.Lifetime.ApplicationStopping);
    }
}
