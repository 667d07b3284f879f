using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Due;

public enum SubjectKind
{
    Component,
    ServiceTask,
}

/// <summary>The last computed answer for one component or service task, with the first later day on which it can
/// change.</summary>
public sealed class SubjectState
{
    public required Guid ClubId { get; init; }

    /// <summary>Id of the component or service task.</summary>
    public required Guid SubjectId { get; init; }

    public required SubjectKind SubjectKind { get; init; }

    /// <summary>Null for a part on the shelf.</summary>
    public Guid? VehicleId { get; set; }

    public required string PartKind { get; set; }

    /// <summary>Stored as its ordinal: worst first, so it sorts.</summary>
    public HazardClass Hazard { get; set; }

    /// <summary>Stored as its ordinal: worst first, so it sorts.</summary>
    public DueState State { get; set; }

    public Certainty Certainty { get; set; }

    /// <summary>Stored as its ordinal; null: no limit stands behind the state, or it was worked out before force was
    /// kept.</summary>
    public Force? Force { get; set; }

    /// <summary>First and last day on which the part can have been made, both included; null: not known.</summary>
    public DateOnly? BornEarliest { get; set; }

    public DateOnly? BornLatest { get; set; }

    public DateOnly? DueEarliest { get; set; }

    /// <summary>The place in the one order, as <see cref="WorstKey.Rank"/> gives it; equal ranks go by subject
    /// id.</summary>
    public long Rank { get; set; }

    public DateOnly? DueLatest { get; set; }

    /// <summary>The day on which the answer became what it is; worked out again and found the same, the row stays as it
    /// is.</summary>
    public DateOnly AsOf { get; set; }

    /// <summary>First later day on which it can change with no new fact; null: never.</summary>
    public DateOnly? NextChangeOn { get; set; }

    /// <summary>The day on which the present state was first seen.</summary>
    public DateOnly Since { get; set; }

    /// <summary>Catalogue version the answer rests on.</summary>
    public required string RuleVersion { get; set; }
}

internal sealed class DueStateRowConfiguration : IEntityTypeConfiguration<SubjectState>
{
    public void Configure(EntityTypeBuilder<SubjectState> state)
    {
        state.ToTable("due_states");
        state.HasKey(s => new { s.ClubId, s.SubjectId });
        state.Property(s => s.SubjectId).ValueGeneratedNever();
        state.Property(s => s.PartKind).HasMaxLength(64);
        state.Property(s => s.Hazard).HasConversion<int>();
        state.Property(s => s.State).HasConversion<int>();
        state.Property(s => s.Certainty).HasConversion<int>();
        state.Property(s => s.Force).HasConversion<int?>();
        state.Property(s => s.RuleVersion).HasMaxLength(32);
        state.HasOne<Clubs.Club>().WithMany().HasForeignKey(s => s.ClubId).OnDelete(DeleteBehavior.Cascade);
        state.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(s => new { s.ClubId, s.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
        state.HasIndex(s => new { s.ClubId, s.NextChangeOn });
        state.HasIndex(s => new { s.ClubId, s.Rank, s.SubjectId });

        // The nights and the filters pick by hazard and state, which a rank cannot be searched by.
        state.HasIndex(s => new { s.ClubId, s.Hazard, s.State, s.SubjectId });
    }
}
