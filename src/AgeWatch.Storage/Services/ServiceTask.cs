using AgeWatch.Core;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Services;

/// <summary>Repeated work with no part of its own (fluids, adjustments).</summary>
public sealed class ServiceTask : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public string? Reference { get; set; }

    public required string PartKind { get; set; }

    public string? Label { get; set; }

    public string? Notes { get; set; }

    public required DateTime CreatedAt { get; init; }

    public DateTime UpdatedAt { get; set; }

    public int Version { get; set; }
}

internal sealed class ServiceTaskConfiguration : IEntityTypeConfiguration<ServiceTask>
{
    public void Configure(EntityTypeBuilder<ServiceTask> task)
    {
        task.ToTable("service_tasks");
        task.HasTenantKey();
        task.Property(t => t.Reference).HasMaxLength(100);
        task.Property(t => t.PartKind).HasMaxLength(64);
        task.Property(t => t.Label).HasMaxLength(200);
        task.Property(t => t.Notes).HasMaxLength(4000);
        task.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(t => new { t.ClubId, t.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        task.HasIndex(t => new { t.ClubId, t.VehicleId });
        task.HasIndex(t => new { t.ClubId, t.Reference }).IsUnique();
    }
}

/// <summary>One time that a service task was done. The latest one starts the clock.</summary>
public sealed class ServiceRecord : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid ServiceTaskId { get; init; }

    public DateOnly DoneOn { get; set; }

    /// <summary>Odometer as shown, thousandths of <see cref="Unit"/>.</summary>
    public long? Thousandths { get; set; }

    public DistanceUnit? Unit { get; set; }

    /// <summary>Hours meter as shown, thousandths of an hour.</summary>
    public long? Hours { get; set; }

    public string? NotedBy { get; set; }

    public string? Notes { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class ServiceRecordConfiguration : IEntityTypeConfiguration<ServiceRecord>
{
    public void Configure(EntityTypeBuilder<ServiceRecord> record)
    {
        record.ToTable("service_records");
        record.HasTenantKey();
        record.Property(r => r.NotedBy).HasMaxLength(200);
        record.Property(r => r.Notes).HasMaxLength(4000);
        record.HasOne<ServiceTask>()
            .WithMany()
            .HasForeignKey(r => new { r.ClubId, r.ServiceTaskId })
            .OnDelete(DeleteBehavior.Cascade);
        record.HasIndex(r => new { r.ClubId, r.ServiceTaskId, r.DoneOn });
    }
}
