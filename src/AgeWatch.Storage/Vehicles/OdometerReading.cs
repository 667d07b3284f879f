using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Vehicles;

public sealed class OdometerReading : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public required Guid InstrumentId { get; init; }

    public DateOnly ReadOn { get; set; }

    /// <summary>As the drums show it, thousandths of the instrument's unit.</summary>
    public long Thousandths { get; set; }

    public string? NotedBy { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class OdometerReadingConfiguration : IEntityTypeConfiguration<OdometerReading>
{
    public void Configure(EntityTypeBuilder<OdometerReading> reading)
    {
        reading.ToTable("odometer_readings", table =>
            table.HasCheckConstraint("ck_odometer_readings_thousandths", "thousandths >= 0"));
        reading.HasTenantKey();
        reading.Property(r => r.NotedBy).HasMaxLength(200);
        reading.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(r => new { r.ClubId, r.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        reading.HasOne<Instrument>()
            .WithMany()
            .HasForeignKey(r => new { r.ClubId, r.InstrumentId })
            .OnDelete(DeleteBehavior.Cascade);
        reading.HasIndex(r => new { r.ClubId, r.VehicleId, r.ReadOn });
        reading.HasIndex(r => new { r.ClubId, r.InstrumentId });
    }
}
