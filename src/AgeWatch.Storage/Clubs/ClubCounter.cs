using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

/// <summary>A number that a transaction takes and holds until it commits, so that readers never meet a gap that fills
/// later.</summary>
public sealed class ClubCounter
{
    public const string Events = "events";

    public const string Changes = "changes";

    public required Guid ClubId { get; init; }

    public required string Name { get; init; }

    public long Value { get; set; }
}

internal sealed class ClubCounterConfiguration : IEntityTypeConfiguration<ClubCounter>
{
    public void Configure(EntityTypeBuilder<ClubCounter> counter)
    {
        counter.ToTable("club_counters");
        counter.HasKey(c => new { c.ClubId, c.Name });
        counter.Property(c => c.Name).HasMaxLength(32);
        counter.HasOne<Club>().WithMany().HasForeignKey(c => c.ClubId).OnDelete(DeleteBehavior.Cascade);
    }
}
