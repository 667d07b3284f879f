using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Feeds;

/// <summary>A secret, revocable, read-only address of due states for a calendar or reader. The token's hash is in <see
/// cref="AccessHash"/>.</summary>
public sealed class Feed : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required string Name { get; set; }

    /// <summary>Only this member's vehicles; null: the whole club.</summary>
    public Guid? MemberId { get; init; }

    /// <summary>Only this vehicle; null: all.</summary>
    public Guid? VehicleId { get; init; }

    /// <summary>Only this hazard class and worse.</summary>
    public HazardClass LeastHazard { get; init; } = HazardClass.Negligible;

    /// <summary>Only this state and worse.</summary>
    public DueState LeastState { get; init; } = DueState.InLife;

    public DateTime? RevokedAt { get; set; }

    public DateOnly? LastUsedOn { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class FeedConfiguration : IEntityTypeConfiguration<Feed>
{
    public void Configure(EntityTypeBuilder<Feed> feed)
    {
        feed.ToTable("feeds");
        feed.HasTenantKey();
        feed.Property(f => f.Name).HasMaxLength(200);
        feed.HasOne<Member>()
            .WithMany()
            .HasForeignKey(f => new { f.ClubId, f.MemberId })
            .OnDelete(DeleteBehavior.Cascade);
        feed.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(f => new { f.ClubId, f.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}
