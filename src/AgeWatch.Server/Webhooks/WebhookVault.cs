using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Storage.Webhooks;

namespace AgeWatch.Server.Webhooks;

/// <summary>The secrets of a webhook, sealed in its row and opened to sign.</summary>
internal static class WebhookVault
{
    public static string Seal(this SecretBox box, Guid clubId, Guid webhookId, string secret) =>
        box.Seal(secret, Purpose(clubId, webhookId));

    /// <summary>What to sign with now: the secret and, while a rotation lasts, the one before it.</summary>
    public static IReadOnlyList<string> SecretsOf(this SecretBox box, Webhook webhook, DateTime now)
    {
        var purpose = Purpose(webhook.ClubId, webhook.Id);
        List<string> secrets = [box.Open(webhook.Secret, purpose)];
        if (webhook is { PreviousSecret: { } previous, PreviousSecretUntil: { } until } && now < until)
        {
            secrets.Add(box.Open(previous, purpose));
        }

        return secrets;
    }

    private static string Purpose(Guid clubId, Guid webhookId) => $"webhook/{clubId:n}/{webhookId:n}";
}
