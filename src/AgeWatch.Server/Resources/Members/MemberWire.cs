using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Clubs;

namespace AgeWatch.Server.Resources.Members;

/// <summary>A person who owns cars, or an officer who is sent the club's digest.</summary>
/// <param name="Email">Where digests go; absent: none are sent.</param>
/// <param name="Officer">Is sent the digest of the whole club.</param>
/// <param name="DigestWeekday">The local weekday of a weekly digest.</param>
/// <param name="PausedUntil">No digest before this day.</param>
internal sealed record MemberRequest(
    [StringLength(200, MinimumLength = 1), OneLine] string Name,
    [StringLength(254), OneLine] string? Email = null,
    bool Officer = false,
    [StringLength(100, MinimumLength = 1), OneLine] string? Reference = null,
    DigestRhythm DigestRhythm = DigestRhythm.Nightly,
    DayOfWeek DigestWeekday = DayOfWeek.Monday,
    DistanceUnit DistanceUnit = DistanceUnit.Kilometre,
    DateOnly? PausedUntil = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (Email is { } email && MailAddressPolicy.Objection(email) is { } objection)
        {
            faults.Add(nameof(Email), "wrong-format", $"The address {objection}.");
        }
    }

    public static MemberRequest From(Member m) =>
        new(m.Name, m.Email, m.IsOfficer, m.Reference, m.DigestRhythm, m.DigestWeekday, m.DistanceUnit, m.PausedUntil);

    public void WriteTo(Member m, DateTime now)
    {
        m.Name = Name;
        m.MoveTo(Email, now);
        m.IsOfficer = Officer;
        m.Reference = Reference;
        m.DigestRhythm = DigestRhythm;
        m.DigestWeekday = DigestWeekday;
        m.DistanceUnit = DistanceUnit;
        m.PausedUntil = PausedUntil;
    }
}

internal sealed record MemberReply
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public required string? Email { get; init; }

    public required bool Officer { get; init; }

    public required string? Reference { get; init; }

    public required DigestRhythm DigestRhythm { get; init; }

    public required DayOfWeek DigestWeekday { get; init; }

    public required DistanceUnit DistanceUnit { get; init; }

    public required DateOnly? PausedUntil { get; init; }

    public required DateTime? UnsubscribedAt { get; init; }

    public required DateTime? MailSuspendedAt { get; init; }

    public required string? MailSuspendedReason { get; init; }

    /// <summary>Links in digests written up to then open nothing any more.</summary>
    public required DateTime? LinksRevokedAt { get; init; }

    public required DateTime CreatedAt { get; init; }

    public static MemberReply From(Member m) => new()
    {
        Id = m.Id,
        Name = m.Name,
        Email = m.Email,
        Officer = m.IsOfficer,
        Reference = m.Reference,
        DigestRhythm = m.DigestRhythm,
        DigestWeekday = m.DigestWeekday,
        DistanceUnit = m.DistanceUnit,
        PausedUntil = m.PausedUntil,
        UnsubscribedAt = m.UnsubscribedAt,
        MailSuspendedAt = m.MailSuspendedAt,
        MailSuspendedReason = m.MailSuspendedReason,
        LinksRevokedAt = m.LinksRevokedAt,
        CreatedAt = m.CreatedAt,
    };
}
