using AgeWatch.Server.Delivery.Feeds;
using AgeWatch.Server.Delivery.Mail;
using AgeWatch.Server.Delivery.Webhooks;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Hosting;
using Microsoft.Extensions.DependencyInjection.Extensions;

namespace AgeWatch.Server.Delivery;

internal static class DeliveryServices
{
    /// <param name="role">Only a worker sends; all others write and show.</param>
    public static void AddDelivery(this IServiceCollection services, IConfiguration configuration, RoleOptions role)
    {
        services.AddSingleton(configuration.Read<DkimOptions>()).AddSingleton(configuration.Read<SecretOptions>());
        services.TryAddSingleton(new OutboxOptions());
        services.AddSingleton<MailChannels>()
            .AddSingleton<MailSigner>()
            .AddSingleton<MailTestLimit>()
            .AddSingleton<DomainPace>();
        services.AddSingleton<DigestResults>().AddSingleton<DigestOutbox>();
        services.AddSingleton(provider => new AddressPolicy(provider.GetRequiredService<WebhookOptions>().Allowed));
        services.AddSingleton(provider =>
            SecretKeys.Open(provider.GetRequiredService<SecretOptions>(), provider.GetRequiredService<DataOptions>()));
        services.AddSingleton(provider => new WebhookSender(
            provider.GetRequiredService<AddressPolicy>(), provider.GetRequiredService<TimeProvider>()));
        services.AddSingleton<WebhookResults>().AddSingleton<WebhookOutbox>().AddScoped<WebhookFanOut>();
        services.AddHealthChecks().AddCheck<OutboxCheck>("outbox");
        if (role.IsWorker)
        {
            services.AddHostedService<OutboxWorker>();
        }
    }

    public static void MapDelivery(this IEndpointRouteBuilder app, IEndpointRouteBuilder v1)
    {
        app.MapUnsubscribe();
        app.MapLooks();
        v1.MapMailTests();
        v1.MapDeliveryReports();
        v1.MapSubscriptions();
        v1.MapWebhooks();
        v1.MapFeeds();
        v1.MapEvents();
    }
}
