using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Changes;

public enum ChangeKind
{
    Added,
    Changed,
    Removed,
}

/// <summary>A line of the change log: who told which fact when, and what stood before.</summary>
/// <remarks>What goes with a removed record (its evidence, its findings) has lines of its own.</remarks>
public sealed class ChangeLogLine
{
    public required Guid ClubId { get; init; }

    /// <summary>From 1, no gaps; taken from <see cref="ClubCounter"/> in the writing transaction.</summary>
    public long Sequence { get; set; }

    public required DateTime At { get; init; }

    /// <summary>The key that the request was signed with; null: the server itself, as in the demo.</summary>
    public Guid? KeyId { get; init; }

    /// <summary>The member whose key that is, or who asked by a link in a mail of their own; null: nobody is
    /// known.</summary>
    /// <remarks>An id and no reference, so that the line outlives the member.</remarks>
    public Guid? MemberId { get; init; }

    /// <summary>The table of the record.</summary>
    public required string Record { get; init; }

    public required Guid RecordId { get; init; }

    /// <summary>The vehicle that the record is about; null: a part on the shelf, or the whole club.</summary>
    public Guid? VehicleId { get; init; }

    public required ChangeKind Kind { get; init; }

    /// <summary>JSON object of the members that were otherwise before; null: there was no such record.</summary>
    public string? Before { get; init; }

    /// <summary>JSON object of the same members as they are now; null: the record is gone.</summary>
    public string? After { get; init; }
}

internal sealed class ChangeRowConfiguration : IEntityTypeConfiguration<ChangeLogLine>
{
    public void Configure(EntityTypeBuilder<ChangeLogLine> change)
    {
        change.ToTable("changes");
        change.HasKey(c => new { c.ClubId, c.Sequence });
        change.Property(c => c.Sequence).ValueGeneratedNever();
        change.Property(c => c.Record).HasMaxLength(64);
        change.HasOne<Club>().WithMany().HasForeignKey(c => c.ClubId).OnDelete(DeleteBehavior.Cascade);
        change.HasIndex(c => new { c.ClubId, c.RecordId });
    }
}
