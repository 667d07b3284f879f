using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Due;

/// <summary>What an inspection saw. Withdrawn, never deleted.</summary>
public sealed class InspectionFinding : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public Guid? ComponentId { get; init; }

    public Guid? ServiceTaskId { get; init; }

    public required DateOnly FoundOn { get; init; }

    public required FindingGrade Grade { get; init; }

    public string? Sign { get; init; }

    public string? Quantity { get; init; }

    /// <summary>Thousandths of <see cref="Unit"/>.</summary>
    public long? MeasuredThousandths { get; init; }

    public string? Unit { get; init; }

    /// <summary>Odometer as shown, thousandths of <see cref="OdometerUnit"/>.</summary>
    public long? OdometerThousandths { get; init; }

    public DistanceUnit? OdometerUnit { get; init; }

    /// <summary>Hours meter as shown, thousandths of an hour.</summary>
    public long? Hours { get; init; }

    public string? Note { get; init; }

    public string? FoundBy { get; init; }

    public required DateTime RecordedAt { get; init; }

    public DateTime? WithdrawnAt { get; set; }

    public string? WithdrawnReason { get; set; }

    public int Version { get; set; }
}

internal sealed class FindingRowConfiguration : IEntityTypeConfiguration<InspectionFinding>
{
    public void Configure(EntityTypeBuilder<InspectionFinding> finding)
    {
        finding.ToTable("findings", table =>
            table.HasCheckConstraint("ck_findings_subject", "(component_id IS NULL) <> (service_task_id IS NULL)"));
        finding.HasTenantKey();
        finding.Property(f => f.Sign).HasMaxLength(200);
        finding.Property(f => f.Quantity).HasMaxLength(100);
        finding.Property(f => f.Unit).HasMaxLength(16);
        finding.Property(f => f.Note).HasMaxLength(4000);
        finding.Property(f => f.FoundBy).HasMaxLength(200);
        finding.Property(f => f.WithdrawnReason).HasMaxLength(1000);
        finding.HasOne<Component>()
            .WithMany()
            .HasForeignKey(f => new { f.ClubId, f.ComponentId })
            .OnDelete(DeleteBehavior.Cascade);
        finding.HasOne<ServiceTask>()
            .WithMany()
            .HasForeignKey(f => new { f.ClubId, f.ServiceTaskId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}
