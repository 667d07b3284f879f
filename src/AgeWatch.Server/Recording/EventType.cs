namespace AgeWatch.Server.Recording;

/// <summary>Every type of event there is; a webhook may ask for these and no others, because a misspelt one would never
/// come.</summary>
internal static class EventType
{
    public const string DueChanged = "due.changed";
    public const string MailSuspended = "member.mail_suspended";
    public const string WebhookDisabled = "webhook.disabled";

    public static readonly IReadOnlyList<string> All = [DueChanged, MailSuspended, WebhookDisabled];
}
