namespace AgeWatch.Server.Outbox;

/// <summary>When to try again. Pure: the chance is handed in as a number from 0 to below 1.</summary>
internal static class RetrySchedule
{
    private static readonly TimeSpan MailFirst = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan MailCap = TimeSpan.FromHours(1);
    private static readonly TimeSpan MailAge = TimeSpan.FromHours(24);
    private static readonly TimeSpan LongestRetryAfter = TimeSpan.FromHours(24);

    // Standard Webhooks 1.0.0, "Deliverability and reliability": the example schedule.
    private static readonly TimeSpan[] WebhookDelays =
    [
        TimeSpan.Zero, TimeSpan.FromSeconds(5), TimeSpan.FromMinutes(5), TimeSpan.FromMinutes(30),
        TimeSpan.FromHours(2),
        TimeSpan.FromHours(5), TimeSpan.FromHours(10), TimeSpan.FromHours(14), TimeSpan.FromHours(20),
        TimeSpan.FromHours(24),
    ];

    /// <summary>Exponential with full jitter: anywhere between one second and a bound that doubles up to an
    /// hour.</summary>
    /// <param name="failures">Failed tries so far, at least 1.</param>
    /// <param name="waited">Since the message was written.</param>
    /// <returns>Null when it is to be given up: a day-old digest only hides the next one.</returns>
    public static TimeSpan? AfterMailFailure(int failures, TimeSpan waited, double chance)
    {
        if (waited >= MailAge)
        {
            return null;
        }

        // From the eighth failure the bound is the cap; the exponent stays small enough never to overflow.
        var bound = TimeSpan.FromTicks(Math.Min(MailCap.Ticks, MailFirst.Ticks << Math.Min(failures - 1, 16)));
        var least = TimeSpan.FromSeconds(1);
        return least + (bound - least) * chance;
    }

    /// <summary>The published schedule, up to a tenth later; a longer Retry-After of the receiver is kept, up to a
    /// day.</summary>
    /// <param name="failures">Failed tries so far, at least 1.</param>
    /// <returns>Null when the schedule has run out.</returns>
    public static TimeSpan? AfterWebhookFailure(int failures, TimeSpan? retryAfter, double chance)
    {
        if (failures >= WebhookDelays.Length)
        {
            return null;
        }

        var delay = WebhookDelays[failures] * (1 + 0.1 * chance);
        var asked = retryAfter is { } wait && wait > LongestRetryAfter
            ? LongestRetryAfter
            : retryAfter ?? TimeSpan.Zero;
        return asked > delay ? asked : delay;
    }
}
