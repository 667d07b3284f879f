using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Mail;

namespace AgeWatch.Server.Digests;

/// <summary>Who may be written to on a local day, and whose day it is.</summary>
internal static class DigestDay
{
    /// <summary>Whether mail may go to the member at all. No rhythm and no subscription gets past this.</summary>
    public static bool MayReach(Member member, DateOnly day) =>
        member is { Email: not null, UnsubscribedAt: null, MailSuspendedAt: null }
            && !IsPaused(member.PausedUntil, day);

    /// <summary>Whether it is the day for the digest of the member's own vehicles.</summary>
    public static bool Falls(Member member, DateOnly day) => Falls(member.DigestRhythm, member.DigestWeekday, day);

    public static bool Falls(Subscription subscription, DateOnly day) =>
        !IsPaused(subscription.PausedUntil, day) && Falls(subscription.Rhythm, subscription.Weekday, day);

    private static bool IsPaused(DateOnly? pausedUntil, DateOnly day) => day < pausedUntil;

    private static bool Falls(DigestRhythm rhythm, DayOfWeek weekday, DateOnly day) => rhythm switch
    {
        DigestRhythm.Nightly => true,
        DigestRhythm.Weekly => day.DayOfWeek == weekday,
        DigestRhythm.Never => false,
    };
}
