using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Components;

public enum ComponentPlace
{
    Fitted,
    Shelf,
    Discarded,
}

/// <summary>One physical part. It keeps its age and distance wherever it goes.</summary>
public sealed class Component : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    /// <summary>The vehicle it is on now; null on the shelf or discarded.</summary>
    public Guid? VehicleId { get; set; }

    public string? Reference { get; set; }

    public required string PartKind { get; set; }

    /// <summary>Where on the vehicle: "front left".</summary>
    public string? Position { get; set; }

    /// <summary>It left the factory on this vehicle, so it cannot be younger than the vehicle.</summary>
    public bool Original { get; set; }

    public string? Maker { get; set; }

    public string? PartNumber { get; set; }

    public string? Lot { get; set; }

    public ComponentPlace Place { get; set; }

    public DateOnly? DiscardedOn { get; set; }

    public string? DiscardReason { get; set; }

    public string? Notes { get; set; }

    public required DateTime CreatedAt { get; init; }

    public DateTime UpdatedAt { get; set; }

    public int Version { get; set; }
}

internal sealed class ComponentConfiguration : IEntityTypeConfiguration<Component>
{
    public void Configure(EntityTypeBuilder<Component> component)
    {
        component.ToTable("components", table => table.HasCheckConstraint(
            "ck_components_place", "(place = 'Fitted') = (vehicle_id IS NOT NULL)"));
        component.HasTenantKey();
        component.Property(c => c.Reference).HasMaxLength(100);
        component.Property(c => c.PartKind).HasMaxLength(64);
        component.Property(c => c.Position).HasMaxLength(100);
        component.Property(c => c.Maker).HasMaxLength(100);
        component.Property(c => c.PartNumber).HasMaxLength(100);
        component.Property(c => c.Lot).HasMaxLength(100);
        component.Property(c => c.DiscardReason).HasMaxLength(1000);
        component.Property(c => c.Notes).HasMaxLength(4000);
        component.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(c => new { c.ClubId, c.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        component.HasIndex(c => new { c.ClubId, c.Reference }).IsUnique();
        component.HasIndex(c => new { c.ClubId, c.PartKind });
    }
}
