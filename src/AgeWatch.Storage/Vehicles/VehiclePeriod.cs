using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Vehicles;

public enum VehiclePeriodKind
{
    /// <summary>The vehicle does not move; age goes on.</summary>
    Standing,

    /// <summary>A planned trip that adds distance on its dates.</summary>
    Trip,

    /// <summary>How warm it was kept; heat may shorten a life.</summary>
    Temperature,
}

public sealed class VehiclePeriod : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public required VehiclePeriodKind Kind { get; init; }

    public DateOnly FromOn { get; set; }

    /// <summary>Included; null: it still goes on.</summary>
    public DateOnly? UntilOn { get; set; }

    /// <summary>What a trip adds, metres.</summary>
    public long? Metres { get; set; }

    /// <summary>How warm it was, thousandths of a degree Celsius.</summary>
    public int? MilliCelsius { get; set; }

    public string? Name { get; set; }

    public int Version { get; set; }
}

internal sealed class VehiclePeriodConfiguration : IEntityTypeConfiguration<VehiclePeriod>
{
    public void Configure(EntityTypeBuilder<VehiclePeriod> period)
    {
        period.ToTable("vehicle_periods", table => table.HasCheckConstraint(
            "ck_vehicle_periods_order", "until_on IS NULL OR from_on <= until_on"));
        period.HasTenantKey();
        period.Property(p => p.Name).HasMaxLength(200);
        period.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(p => new { p.ClubId, p.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        period.HasIndex(p => new { p.ClubId, p.VehicleId });
    }
}
