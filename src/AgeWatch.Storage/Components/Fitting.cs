using AgeWatch.Core;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Components;

/// <summary>The period a component spends on a vehicle, with the odometer at both ends.</summary>
public sealed class Fitting : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid ComponentId { get; init; }

    public required Guid VehicleId { get; init; }

    public string? Position { get; set; }

    /// <summary>Null: nobody knows since when.</summary>
    public DateOnly? FittedOn { get; set; }

    /// <summary>As shown, thousandths of <see cref="FittedUnit"/>.</summary>
    public long? FittedThousandths { get; set; }

    public DistanceUnit? FittedUnit { get; set; }

    /// <summary>Hours meter as shown, thousandths of an hour.</summary>
    public long? FittedHours { get; set; }

    /// <summary>Null: still there.</summary>
    public DateOnly? TakenOffOn { get; set; }

    public long? TakenOffThousandths { get; set; }

    public DistanceUnit? TakenOffUnit { get; set; }

    /// <summary>Hours meter as shown, thousandths of an hour.</summary>
    public long? TakenOffHours { get; set; }

    public string? TakenOffReason { get; set; }

    public string? NotedBy { get; set; }

    public DateTime RecordedAt { get; init; }

    /// <summary>The call that made this fitting in a swap; undoing the swap removes its fittings.</summary>
    public Guid? SwapId { get; set; }

    public int Version { get; set; }
}

internal sealed class FittingConfiguration : IEntityTypeConfiguration<Fitting>
{
    public void Configure(EntityTypeBuilder<Fitting> fitting)
    {
        fitting.ToTable("fittings", table => table.HasCheckConstraint(
            "ck_fittings_order", "fitted_on IS NULL OR taken_off_on IS NULL OR fitted_on <= taken_off_on"));
        fitting.HasTenantKey();
        fitting.Property(f => f.Position).HasMaxLength(100);
        fitting.Property(f => f.TakenOffReason).HasMaxLength(1000);
        fitting.Property(f => f.NotedBy).HasMaxLength(200);
        fitting.HasOne<Component>()
            .WithMany()
            .HasForeignKey(f => new { f.ClubId, f.ComponentId })
            .OnDelete(DeleteBehavior.Cascade);

        // Restrict: the distance a part ran on a vehicle must not vanish with the vehicle while the part lives on.
        fitting.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(f => new { f.ClubId, f.VehicleId })
            .OnDelete(DeleteBehavior.Restrict);
        fitting.HasIndex(f => new { f.ClubId, f.ComponentId });
        fitting.HasIndex(f => new { f.ClubId, f.SwapId });
    }
}
