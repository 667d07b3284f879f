using AgeWatch.Storage.Clubs;

namespace AgeWatch.Server.Digests;

/// <summary>Whether a member is to have a digest on a local day.</summary>
internal static class DigestDay
{
    public static bool Wants(Member member, DateOnly day) =>
        member is { Email: not null, UnsubscribedAt: null, MailSuspendedAt: null }
        && !(member.PausedUntil is { } until && day < until)
        && member.DigestRhythm switch
        {
            DigestRhythm.Nightly => true,
            DigestRhythm.Weekly => day.DayOfWeek == member.DigestWeekday,
            DigestRhythm.Never => false,
        };
}
