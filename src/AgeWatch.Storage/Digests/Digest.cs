using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Digests;

public enum DigestKind
{
    Member,
    Officer,
}

public enum SendState
{
    /// <summary>Written, not yet accepted by a mail server.</summary>
    Waiting,

    /// <summary>A mail server answered 250, or the file is in the folder.</summary>
    Accepted,

    /// <summary>Given up; the last reply says why.</summary>
    Dead,
}

/// <summary>One message to one person: rendered once, the bytes kept, the same bytes sent at every try.</summary>
public sealed class Digest : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid MemberId { get; init; }

    public required DigestKind Kind { get; init; }

    public required DateOnly LocalDate { get; init; }

    public required int Revision { get; init; }

    public required string Recipient { get; init; }

    public required string Subject { get; init; }

    public required string MessageId { get; init; }

    public required byte[] Message { get; init; }

    public required int Lines { get; init; }

    /// <summary>The rules behind what it says, so that the next can tell a changed rule from a changed car.</summary>
    public required string RuleVersion { get; init; }

    /// <summary>Lines left out by the cap.</summary>
    public required int HeldBack { get; init; }

    public SendState State { get; set; }

    public int Attempts { get; set; }

    public DateTime? NextAttemptAt { get; set; }

    public string? LeaseOwner { get; set; }

    public DateTime? LeaseUntil { get; set; }

    public DateTime? AcceptedAt { get; set; }

    /// <summary>The server's own words at the last try.</summary>
    public string? LastReply { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class DigestConfiguration : IEntityTypeConfiguration<Digest>
{
    public void Configure(EntityTypeBuilder<Digest> digest)
    {
        digest.ToTable("digests");
        digest.HasTenantKey();
        digest.Property(d => d.Recipient).HasMaxLength(254);
        digest.Property(d => d.Subject).HasMaxLength(500);
        digest.Property(d => d.MessageId).HasMaxLength(250);
        digest.Property(d => d.RuleVersion).HasMaxLength(32);
        digest.Property(d => d.LeaseOwner).HasMaxLength(100);
        digest.Property(d => d.LastReply).HasMaxLength(2000);
        digest.HasOne<Member>()
            .WithMany()
            .HasForeignKey(d => new { d.ClubId, d.MemberId })
            .OnDelete(DeleteBehavior.Cascade);
        digest.HasIndex(d => new { d.ClubId, d.MemberId, d.Kind, d.LocalDate, d.Revision }).IsUnique();
        digest.HasIndex(d => new { d.ClubId, d.State, d.NextAttemptAt });
        digest.HasIndex(d => new { d.ClubId, d.MessageId });
    }
}
