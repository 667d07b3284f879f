using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

public enum AccessKind
{
    Key,
    Feed,
    Unsubscribe,
}

/// <summary>
/// From the SHA-256 of a secret to the club and row it opens. The one table that is read before the club is known,
/// so it is not tenant-owned: a distributed PostgreSQL keeps it as a reference table on every node.
/// </summary>
public sealed class AccessHash
{
    /// <summary>64 lower-case hexadecimal digits.</summary>
    public required string Hash { get; init; }

    public required AccessKind Kind { get; init; }

    public required Guid ClubId { get; init; }

    public required Guid TargetId { get; init; }
}

internal sealed class AccessHashConfiguration : IEntityTypeConfiguration<AccessHash>
{
    public void Configure(EntityTypeBuilder<AccessHash> hash)
    {
        hash.ToTable("access_hashes");
        hash.HasKey(h => h.Hash);
        hash.Property(h => h.Hash).HasMaxLength(64);
    }
}
