using AgeWatch.Core;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

public enum DigestRhythm
{
    Nightly,
    Weekly,
    Never,
}

/// <summary>A person who owns cars, or an officer who sees the whole club.</summary>
public sealed class Member : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    /// <summary>The club's own name for the row, unique within the club; what an import matches on.</summary>
    public string? Reference { get; set; }

    public required string Name { get; set; }

    /// <summary>Changed by <see cref="MoveTo"/>.</summary>
    public string? Email { get; set; }

    public bool IsOfficer { get; set; }

    public DigestRhythm DigestRhythm { get; set; }

    /// <summary>Local weekday of a weekly digest.</summary>
    public DayOfWeek DigestWeekday { get; set; } = DayOfWeek.Monday;

    public DistanceUnit DistanceUnit { get; set; }

    /// <summary>No digest before this day; null: not paused.</summary>
    public DateOnly? PausedUntil { get; set; }

    /// <summary>Set by one-click unsubscribe: the person stays, the mail stops.</summary>
    public DateTime? UnsubscribedAt { get; set; }

    /// <summary>Set when a mail server refused the address for good.</summary>
    public DateTime? MailSuspendedAt { get; set; }

    public string? MailSuspendedReason { get; set; }

    /// <summary>Links in digests written up to this moment open nothing any more; null: none was ever
    /// revoked.</summary>
    public DateTime? LinksRevokedAt { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }

    /// <summary>Gives the person another address. What belongs to the old one ends: a mail server's refusal, and the
    /// links in its mails.</summary>
    public void MoveTo(string? email, DateTime now)
    {
        if (Email != email)
        {
            LinksRevokedAt = Email is null ? LinksRevokedAt : now;
            Email = email;
            MailSuspendedAt = null;
            MailSuspendedReason = null;
        }
    }
}

internal sealed class MemberConfiguration : IEntityTypeConfiguration<Member>
{
    public void Configure(EntityTypeBuilder<Member> member)
    {
        member.ToTable("members");
        member.HasTenantKey();
        member.Property(m => m.Reference).HasMaxLength(100);
        member.Property(m => m.Name).HasMaxLength(200);
        member.Property(m => m.Email).HasMaxLength(254);
        member.Property(m => m.MailSuspendedReason).HasMaxLength(1000);
        member.HasIndex(m => new { m.ClubId, m.Reference }).IsUnique();
    }
}
