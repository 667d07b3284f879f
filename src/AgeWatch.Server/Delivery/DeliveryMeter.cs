using System.Diagnostics.Metrics;
using AgeWatch.Server.Delivery.Mail;
using AgeWatch.Server.Delivery.Webhooks;

namespace AgeWatch.Server.Delivery;

/// <summary>Counts of what went out and what did not.</summary>
internal static class DeliveryMeter
{
    public const string Name = "AgeWatch.Delivery";

    private static readonly Meter Meter = new(Name);
    private static readonly Counter<long> Mails = Meter.CreateCounter<long>(
        "agewatch.mails", "{try}", "Tries to hand a message to a mail server.");
    private static readonly Counter<long> Hooks = Meter.CreateCounter<long>(
        "agewatch.webhooks", "{try}", "Tries to call a webhook.");

    public static void Mail(MailOutcome outcome) =>
        Mails.Add(1, new KeyValuePair<string, object?>("outcome", outcome.GetType().Name));

    public static void Webhook(WebhookOutcome outcome) =>
        Hooks.Add(1, new KeyValuePair<string, object?>("outcome", outcome.GetType().Name));
}
