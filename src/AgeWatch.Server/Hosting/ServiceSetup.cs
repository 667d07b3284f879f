using AgeWatch.Server.Demo;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Metrics;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Resources.Imports;
using AgeWatch.Storage;

namespace AgeWatch.Server.Hosting;

/// <summary>Everything that the program is made of, as the settings want it.</summary>
internal static class ServiceSetup
{
    public static void AddAgeWatch(this WebApplicationBuilder builder)
    {
        var data = builder.Configuration.Read<DataOptions>();
        var web = builder.Configuration.Read<WebOptions>();
        var role = builder.Configuration.Read<RoleOptions>();
        builder.AddAgeWatchLogging(builder.Configuration.Read<LogOptions>());
        builder.WebHost.UseUrls(web.Urls).ConfigureKestrel(Pipeline.ConfigureKestrel);

        var services = builder.Services;
        services.AddAgeWatchOptions(builder.Configuration);
        services.AddDbContextPool<AgeWatchContext>(options => options.UseAgeWatch(data.Kind, data.Connection));
        services.AddV1();
        services.AddHealth();
        services.AddAgeWatchDocument(web);
        services.AddHttpContextAccessor();
        services.AddSingleton(TimeProvider.System).AddScoped<FirstStart>();
        services.AddScoped<FactWriter>().AddScoped<Recompute>();
        services.AddScoped<Import>().AddScoped<DemoRun>();
        services.AddNights(data, role);
        services.AddDelivery(builder.Configuration, role);
        services.AddFigures(builder.Configuration);
    }

    /// <summary>Every record of options, read and judged now: the server starts with all of them right or not at
    /// all.</summary>
    private static void AddAgeWatchOptions(this IServiceCollection services, IConfiguration configuration) => services
        .AddSingleton(configuration.Read<DataOptions>())
        .AddSingleton(configuration.Read<WebOptions>())
        .AddSingleton(configuration.Read<RoleOptions>())
        .AddSingleton(configuration.Read<LogOptions>())
        .AddSingleton(configuration.Read<ClubOptions>())
        .AddSingleton(configuration.Read<MailOptions>())
        .AddSingleton(configuration.Read<WebhookOptions>());
}
