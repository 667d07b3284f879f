using AgeWatch.Core;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Vehicles;

/// <summary>An odometer on a vehicle. A vehicle can have had several; readings are never subtracted across
/// two.</summary>
public sealed class Instrument : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public required string Label { get; set; }

    public DistanceUnit Unit { get; set; }

    /// <summary>Whole-number drums, without tenths: 5 wraps at 99,999.</summary>
    public int Digits { get; set; } = 6;

    public DateOnly? FittedOn { get; set; }

    public DateOnly? RemovedOn { get; set; }

    public int Version { get; set; }
}

internal sealed class InstrumentConfiguration : IEntityTypeConfiguration<Instrument>
{
    public void Configure(EntityTypeBuilder<Instrument> instrument)
    {
        instrument.ToTable("instruments", table =>
            table.HasCheckConstraint("ck_instruments_digits", "digits BETWEEN 3 AND 8"));
        instrument.HasTenantKey();
        instrument.Property(i => i.Label).HasMaxLength(64);
        instrument.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(i => new { i.ClubId, i.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        instrument.HasIndex(i => new { i.ClubId, i.VehicleId, i.Label }).IsUnique();
    }
}
