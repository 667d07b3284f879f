using AgeWatch.Core;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Due;

/// <summary>A limit of the club's own: read off a label, printed by the maker, set by law. It belongs to a component or
/// a service task.</summary>
public sealed class OwnLimit : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public Guid? ComponentId { get; init; }

    public Guid? ServiceTaskId { get; init; }

    public required LimitLevel Level { get; set; }

    /// <summary>What it counts from; unused with <see cref="LastDay"/>.</summary>
    public required AgeAnchor Anchor { get; set; }

    public int? Months { get; set; }

    /// <summary>Metres from the anchor.</summary>
    public long? Metres { get; set; }

    /// <summary>The unit the distance was given in; it is shown back in it.</summary>
    public DistanceUnit? Unit { get; set; }

    /// <summary>Running hours from the anchor, in thousandths.</summary>
    public long? Hours { get; set; }

    /// <summary>The last permitted day, as printed on the part.</summary>
    public DateOnly? LastDay { get; set; }

    /// <summary>Which day ends the months.</summary>
    public EndRule EndRule { get; set; }

    /// <summary>It cannot be reached before this day; null: it always holds.</summary>
    public DateOnly? ValidFrom { get; set; }

    public required Tag Tag { get; set; }

    public string? Reference { get; set; }

    public string? NotedBy { get; set; }

    /// <summary>Of a rule of one's own; null: it had another tag without a source before references were asked
    /// for.</summary>
    public string? Reason { get; set; }

    /// <summary>Of a rule of one's own.</summary>
    public DateOnly? ReviewOn { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class LimitRowConfiguration : IEntityTypeConfiguration<OwnLimit>
{
    public void Configure(EntityTypeBuilder<OwnLimit> limit)
    {
        limit.ToTable("limits", table =>
        {
            table.HasCheckConstraint("ck_limits_subject", "(component_id IS NULL) <> (service_task_id IS NULL)");
            table.HasCheckConstraint(
                "ck_limits_number",
                "months IS NOT NULL OR metres IS NOT NULL OR hours IS NOT NULL OR last_day IS NOT NULL");
        });
        limit.HasTenantKey();
        limit.Property(l => l.Reference).HasMaxLength(500);
        limit.Property(l => l.NotedBy).HasMaxLength(200);
        limit.Property(l => l.Reason).HasMaxLength(500);
        limit.HasOne<Component>()
            .WithMany()
            .HasForeignKey(l => new { l.ClubId, l.ComponentId })
            .OnDelete(DeleteBehavior.Cascade);
        limit.HasOne<ServiceTask>()
            .WithMany()
            .HasForeignKey(l => new { l.ClubId, l.ServiceTaskId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}
