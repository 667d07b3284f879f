using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Mail;

/// <summary>What a member's digests speak of beyond the member's own vehicles.</summary>
public sealed class Subscription : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid MemberId { get; init; }

    /// <summary>Null exactly when it is for the whole club.</summary>
    public Guid? VehicleId { get; set; }

    public bool WholeClub { get; set; }

    /// <summary>Send only this hazard class and worse.</summary>
    public HazardClass LeastHazard { get; set; } = HazardClass.Negligible;

    /// <summary>Send only this state and worse.</summary>
    public DueState LeastState { get; set; } = DueState.DueSoon;

    public DigestRhythm Rhythm { get; set; }

    public DayOfWeek Weekday { get; set; } = DayOfWeek.Monday;

    public DateOnly? PausedUntil { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class SubscriptionConfiguration : IEntityTypeConfiguration<Subscription>
{
    public void Configure(EntityTypeBuilder<Subscription> subscription)
    {
        subscription.ToTable("subscriptions");
        subscription.HasTenantKey();
        subscription.HasOne<Member>()
            .WithMany()
            .HasForeignKey(s => new { s.ClubId, s.MemberId })
            .OnDelete(DeleteBehavior.Cascade);
        subscription.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(s => new { s.ClubId, s.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}
