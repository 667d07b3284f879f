using AgeWatch.Server.Delivery.Webhooks;
using AgeWatch.Server.Due;

namespace AgeWatch.Server.Delivery;

/// <summary>Every type of event there is; a webhook may ask for these and no others, because a misspelt one would never
/// come.</summary>
internal static class EventType
{
    public static readonly IReadOnlyList<string> All = [
        Recompute.DueChanged, DigestResults.MailSuspended, WebhookResults.Disabled];
}
