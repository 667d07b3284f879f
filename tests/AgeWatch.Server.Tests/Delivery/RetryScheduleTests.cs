using AgeWatch.Server.Outbox;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class RetryScheduleTests
{
    /// <summary>Exponential backoff with full jitter is common practice; the bounds are ours: 30 s doubling to one
    /// hour.</summary>
    [Theory]
    [InlineData(1, 30)]
    [InlineData(2, 60)]
    [InlineData(3, 120)]
    [InlineData(7, 1920)]
    [InlineData(8, 3600)]
    [InlineData(60, 3600)]
    [InlineData(int.MaxValue, 3600)]
    public void Mail_waits_somewhere_below_a_doubling_bound(int failures, int boundSeconds)
    {
        var fresh = TimeSpan.FromMinutes(1);

        Assert.Equal(TimeSpan.FromSeconds(1), RetrySchedule.AfterMailFailure(failures, fresh, chance: 0));
        var latest = RetrySchedule.AfterMailFailure(failures, fresh, chance: 0.999999)!.Value;
        Assert.InRange(latest.TotalSeconds, boundSeconds - 0.1, boundSeconds);
    }

    [Fact]
    public void Mail_is_given_up_after_a_day()
    {
        Assert.NotNull(RetrySchedule.AfterMailFailure(40, TimeSpan.FromHours(24) - TimeSpan.FromSeconds(1), 0.5));
        Assert.Null(RetrySchedule.AfterMailFailure(40, TimeSpan.FromHours(24), 0.5));
    }

    /// <summary>Standard Webhooks spec, example schedule: attempts at 0, 5 s, 5:05, 35:05, … 75:35:05 after the
    /// start.</summary>
    [Fact]
    public void Webhook_tries_land_on_the_published_schedule()
    {
        TimeSpan[] published =
        [
            new(0, 0, 5), new(0, 5, 5), new(0, 35, 5), new(2, 35, 5), new(7, 35, 5),
            new(17, 35, 5), new(31, 35, 5), new(51, 35, 5), new(75, 35, 5),
        ];

        var since = TimeSpan.Zero;
        for (var failures = 1; failures <= published.Length; failures++)
        {
            since += RetrySchedule.AfterWebhookFailure(failures, null, chance: 0)!.Value;
            Assert.Equal(published[failures - 1], since);
        }

        Assert.Null(RetrySchedule.AfterWebhookFailure(published.Length + 1, null, 0));
    }

    [Fact]
    public void Jitter_only_delays_and_by_a_tenth_at_most()
    {
        Assert.Equal(330, RetrySchedule.AfterWebhookFailure(2, null, chance: 1)!.Value.TotalSeconds, 3);
    }

    [Fact]
    public void A_longer_retry_after_is_kept_up_to_a_day()
    {
        Assert.Equal(TimeSpan.FromMinutes(10), RetrySchedule.AfterWebhookFailure(1, TimeSpan.FromMinutes(10), 0));
        Assert.Equal(TimeSpan.FromMinutes(5), RetrySchedule.AfterWebhookFailure(2, TimeSpan.FromSeconds(1), 0));
        Assert.Equal(TimeSpan.FromHours(24), RetrySchedule.AfterWebhookFailure(1, TimeSpan.FromDays(365), 0));
    }
}
