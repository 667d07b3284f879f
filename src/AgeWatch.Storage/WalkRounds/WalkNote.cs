using AgeWatch.Storage.Components;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.WalkRounds;

public enum WalkNoteKind
{
    /// <summary>Looked for and not on the vehicle.</summary>
    Absent,

    /// <summary>It could not be seen. It changes nothing but what the next walk-round says.</summary>
    CouldNotSee,

    /// <summary>What is recorded of the kind is all there is on the vehicle.</summary>
    NoOthers,
}

/// <summary>What a walk-round brought that is neither evidence nor finding. Of one kind or part the latest counts; none
/// is removed.</summary>
public sealed class WalkNote : ITenantRow
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid VehicleId { get; init; }

    public required WalkNoteKind Kind { get; init; }

    public required string PartKind { get; init; }

    /// <summary>Null: of a kind of which nothing is recorded.</summary>
    public Guid? ComponentId { get; init; }

    public Guid? ServiceTaskId { get; init; }

    public required DateOnly SeenOn { get; init; }

    public string? NotedBy { get; init; }

    public string? Note { get; init; }

    public required DateTime RecordedAt { get; init; }
}

internal sealed class WalkNoteConfiguration : IEntityTypeConfiguration<WalkNote>
{
    public void Configure(EntityTypeBuilder<WalkNote> note)
    {
        note.ToTable("walk_notes");
        note.HasTenantKey();
        note.Property(n => n.PartKind).HasMaxLength(64);
        note.Property(n => n.NotedBy).HasMaxLength(200);
        note.Property(n => n.Note).HasMaxLength(1000);
        note.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(n => new { n.ClubId, n.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        note.HasOne<Component>()
            .WithMany()
            .HasForeignKey(n => new { n.ClubId, n.ComponentId })
            .OnDelete(DeleteBehavior.Cascade);
        note.HasOne<ServiceTask>()
            .WithMany()
            .HasForeignKey(n => new { n.ClubId, n.ServiceTaskId })
            .OnDelete(DeleteBehavior.Cascade);
        note.HasIndex(n => new { n.ClubId, n.VehicleId });
    }
}
