using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Outbox;
using AgeWatch.Server.Webhooks;
using Microsoft.Extensions.DependencyInjection.Extensions;

namespace AgeWatch.Server.Hosting;

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
        services.AddSingleton<DigestResults>().AddSingleton<DigestOutbox>()
            .AddSingleton<IOutbox>(provider => provider.GetRequiredService<DigestOutbox>());
        services.AddSingleton(provider => new AddressPolicy(provider.GetRequiredService<WebhookOptions>().Allowed));
        services.AddSingleton(provider =>
            SecretKeys.Open(provider.GetRequiredService<SecretOptions>(), provider.GetRequiredService<DataOptions>()));
        services.AddSingleton(provider => new WebhookSender(
            provider.GetRequiredService<AddressPolicy>(), provider.GetRequiredService<TimeProvider>()));
        services.AddSingleton<WebhookResults>().AddSingleton<WebhookOutbox>().AddScoped<WebhookFanOut>()
            .AddSingleton<IOutbox>(provider => provider.GetRequiredService<WebhookOutbox>());
        services.AddHealthChecks().AddCheck<OutboxCheck>("outbox");
        if (role.IsWorker)
        {
            services.AddHostedService<OutboxWorker>();
        }
    }
}
