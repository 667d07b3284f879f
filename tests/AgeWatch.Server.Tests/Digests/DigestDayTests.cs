using AgeWatch.Server.Digests;
using AgeWatch.Storage.Clubs;

namespace AgeWatch.Server.Tests.Digests;

public sealed class DigestDayTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);

    /// <summary>2026-11-25 is a Wednesday.</summary>
    [Fact]
    public void A_member_gets_a_digest_on_their_own_days_only()
    {
        Member Bob(DigestRhythm rhythm = DigestRhythm.Nightly, DayOfWeek weekday = DayOfWeek.Wednesday) => new()
        {
            ClubId = Id(1),
            Id = Id(2),
            Name = "Bob",
            Email = "bob@example.org",
            CreatedAt = DateTime.UnixEpoch,
            DigestRhythm = rhythm,
            DigestWeekday = weekday,
        };

        Assert.True(DigestDay.Falls(Bob(), Today));
        Assert.True(DigestDay.Falls(Bob(DigestRhythm.Weekly), Today));
        Assert.False(DigestDay.Falls(Bob(DigestRhythm.Weekly, DayOfWeek.Thursday), Today));
        Assert.False(DigestDay.Falls(Bob(DigestRhythm.Never), Today));

        var bob = Bob();
        Assert.True(DigestDay.MayReach(bob, Today));
        bob.PausedUntil = Today.AddDays(1);
        Assert.False(DigestDay.MayReach(bob, Today));
        Assert.True(DigestDay.MayReach(bob, Today.AddDays(1)));
        bob.UnsubscribedAt = DateTime.UnixEpoch;
        Assert.False(DigestDay.MayReach(bob, Today.AddDays(1)));
        bob = Bob();
        bob.MailSuspendedAt = DateTime.UnixEpoch;
        Assert.False(DigestDay.MayReach(bob, Today));
        bob = Bob();
        bob.Email = null;
        Assert.False(DigestDay.MayReach(bob, Today));
    }

    private static Guid Id(int number) => new(number, 0, 0, new byte[8]);
}
