using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

public enum KeyRole
{
    Officer,
    Member,
    Reader,
}

/// <summary>What a script signs in with. The key itself is never stored; its hash is in <see
/// cref="AccessHash"/>.</summary>
public sealed class Key : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public Guid? MemberId { get; init; }

    public required KeyRole Role { get; set; }

    public required string Name { get; set; }

    public required string LastFour { get; init; }

    public required DateTime CreatedAt { get; init; }

    public DateTime? ExpiresAt { get; set; }

    public DateTime? RevokedAt { get; set; }

    public DateOnly? LastUsedOn { get; set; }

    public int Version { get; set; }
}

internal sealed class KeyConfiguration : IEntityTypeConfiguration<Key>
{
    public void Configure(EntityTypeBuilder<Key> key)
    {
        key.ToTable("keys");
        key.HasTenantKey();
        key.Property(k => k.Name).HasMaxLength(200);
        key.Property(k => k.LastFour).HasMaxLength(4);
        key.HasOne<Member>()
            .WithMany()
            .HasForeignKey(k => new { k.ClubId, k.MemberId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}
