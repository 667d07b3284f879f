using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Changes;

/// <summary>Something that happened, in the order in which it was committed within the club.</summary>
public sealed class ClubEvent
{
    public required Guid ClubId { get; init; }

    /// <summary>From 1, no gaps; taken from <see cref="ClubCounter"/> in the writing transaction.</summary>
    public required long Sequence { get; init; }

    public required string Type { get; init; }

    public required DateTime At { get; init; }

    public Guid? SubjectId { get; init; }

    public Guid? VehicleId { get; init; }

    /// <summary>JSON object.</summary>
    public required string Content { get; init; }
}

internal sealed class ClubEventConfiguration : IEntityTypeConfiguration<ClubEvent>
{
    public void Configure(EntityTypeBuilder<ClubEvent> happened)
    {
        happened.ToTable("events");
        happened.HasKey(e => new { e.ClubId, e.Sequence });
        happened.Property(e => e.Sequence).ValueGeneratedNever();
        happened.Property(e => e.Type).HasMaxLength(64);
        happened.HasOne<Club>().WithMany().HasForeignKey(e => e.ClubId).OnDelete(DeleteBehavior.Cascade);
    }
}
