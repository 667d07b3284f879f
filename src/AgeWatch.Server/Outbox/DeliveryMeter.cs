using System.Diagnostics.Metrics;

namespace AgeWatch.Server.Outbox;

/// <summary>Counts of what went out and what did not.</summary>
internal static class DeliveryMeter
{
    public const string Name = "AgeWatch.Delivery";

    private static readonly Meter Meter = new(Name);
    private static readonly Counter<long> Mails = Meter.CreateCounter<long>(
        "agewatch.mails", "{try}", "Tries to hand a message to a mail server.");
    private static readonly Counter<long> Hooks = Meter.CreateCounter<long>(
        "agewatch.webhooks", "{try}", "Tries to call a webhook.");

    /// <param name="outcome">The record of the outcome, whose name becomes the label.</param>
    public static void Mail(object outcome) => Mails.Add(1, Label(outcome));

    /// <param name="outcome">As for mail.</param>
    public static void Webhook(object outcome) => Hooks.Add(1, Label(outcome));

    private static KeyValuePair<string, object?> Label(object outcome) => new("outcome", outcome.GetType().Name);
}
