using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Vehicles;

/// <summary>What a running-hours meter showed.</summary>
public sealed class HourReading : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public DateOnly ReadOn { get; set; }

    /// <summary>As the meter shows it, thousandths of an hour.</summary>
    public long Thousandths { get; set; }

    public string? NotedBy { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class HourReadingConfiguration : IEntityTypeConfiguration<HourReading>
{
    public void Configure(EntityTypeBuilder<HourReading> reading)
    {
        reading.ToTable("hour_readings", table =>
            table.HasCheckConstraint("ck_hour_readings_thousandths", "thousandths >= 0"));
        reading.HasTenantKey();
        reading.Property(r => r.NotedBy).HasMaxLength(200);
        reading.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(r => new { r.ClubId, r.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        reading.HasIndex(r => new { r.ClubId, r.VehicleId, r.ReadOn });
    }
}
