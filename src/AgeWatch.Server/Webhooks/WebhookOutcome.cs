namespace AgeWatch.Server.Webhooks;

/// <summary>What became of one try. The receiver's body is never read: it tells us nothing and would leak an inner
/// network.</summary>
internal abstract record WebhookOutcome
{
    private WebhookOutcome()
    {
    }

    /// <summary>2xx.</summary>
    public sealed record Accepted(int Status) : WebhookOutcome;

    /// <summary>410: the receiver wants nothing more, ever.</summary>
    public sealed record Gone : WebhookOutcome;

    /// <param name="Status">Null: no answer at all.</param>
    /// <param name="Words">Ours. They do not tell a closed port from a silent one.</param>
    public sealed record Failed(int? Status, string Words, TimeSpan? RetryAfter = null) : WebhookOutcome;
}
