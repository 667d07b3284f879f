using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Feeds;

/// <summary>What the feeds last said of a component or service task, so that a reader can tell a changed entry from one
/// it knows.</summary>
public sealed class FeedEntry
{
    public required Guid ClubId { get; init; }

    public required Guid SubjectId { get; init; }

    /// <summary>Of all that the entry says.</summary>
    public required string Hash { get; set; }

    /// <summary>Raised by every change.</summary>
    public int Sequence { get; set; }

    public required DateTime ChangedAt { get; set; }
}

internal sealed class FeedEntryConfiguration : IEntityTypeConfiguration<FeedEntry>
{
    public void Configure(EntityTypeBuilder<FeedEntry> entry)
    {
        entry.ToTable("feed_entries");
        entry.HasKey(e => new { e.ClubId, e.SubjectId });
        entry.Property(e => e.SubjectId).ValueGeneratedNever();
        entry.Property(e => e.Hash).HasMaxLength(64).IsConcurrencyToken();
        entry.HasOne<Club>().WithMany().HasForeignKey(e => e.ClubId).OnDelete(DeleteBehavior.Cascade);
    }
}
