using AgeWatch.Core;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Due;

/// <summary>A decision to run past a limit: it changes what is asked, never the state.</summary>
public sealed class GrantedDeferral : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public Guid? ComponentId { get; init; }

    public Guid? ServiceTaskId { get; init; }

    public required string Reason { get; init; }

    public required string Person { get; init; }

    public required DateOnly DecidedOn { get; init; }

    /// <summary>The last day it holds.</summary>
    public required DateOnly UntilOn { get; init; }

    /// <summary>Odometer as shown, thousandths of <see cref="UntilUnit"/>: the distance at which it ends.</summary>
    public required long UntilThousandths { get; init; }

    public required DistanceUnit UntilUnit { get; init; }

    public required DateTime CreatedAt { get; init; }

    public DateTime? EndedAt { get; set; }

    public string? EndedReason { get; set; }

    public int Version { get; set; }
}

internal sealed class DeferralRowConfiguration : IEntityTypeConfiguration<GrantedDeferral>
{
    public void Configure(EntityTypeBuilder<GrantedDeferral> deferral)
    {
        deferral.ToTable("deferrals", table =>
            table.HasCheckConstraint("ck_deferrals_subject", "(component_id IS NULL) <> (service_task_id IS NULL)"));
        deferral.HasTenantKey();
        deferral.Property(d => d.Reason).HasMaxLength(1000);
        deferral.Property(d => d.Person).HasMaxLength(200);
        deferral.Property(d => d.EndedReason).HasMaxLength(1000);
        deferral.HasOne<Component>()
            .WithMany()
            .HasForeignKey(d => new { d.ClubId, d.ComponentId })
            .OnDelete(DeleteBehavior.Cascade);
        deferral.HasOne<ServiceTask>()
            .WithMany()
            .HasForeignKey(d => new { d.ClubId, d.ServiceTaskId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}
