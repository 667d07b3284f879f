using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Nights;

public enum NightRunStatus
{
    /// <summary>Asked for, or stopped half-way by a worker that said so; any worker may take it.</summary>
    Waiting,
    Running,
    Done,
    Failed,
}

/// <summary>The worker's pass over a club for one local day. The key is the promise: one night per club and
/// day.</summary>
public sealed class NightRun : IVersioned
{
    public required Guid ClubId { get; init; }

    public required DateOnly LocalDate { get; init; }

    public NightRunStatus Status { get; set; }

    public required DateTime StartedAt { get; set; }

    public DateTime? FinishedAt { get; set; }

    /// <summary>Which worker holds it; null: none does.</summary>
    public string? Worker { get; set; }

    /// <summary>The holder's last sign of life, or the moment of the last failure.</summary>
    public DateTime? HeartbeatAt { get; set; }

    public int Attempts { get; set; }

    /// <summary>Subjects whose answer was computed again.</summary>
    public int Assessed { get; set; }

    /// <summary>Subjects whose state or certainty changed.</summary>
    public int Changed { get; set; }

    public int Digests { get; set; }

    public string? Error { get; set; }

    public int Version { get; set; }
}

internal sealed class NightRunConfiguration : IEntityTypeConfiguration<NightRun>
{
    public void Configure(EntityTypeBuilder<NightRun> night)
    {
        night.ToTable("night_runs");
        night.HasKey(n => new { n.ClubId, n.LocalDate });
        night.Property(n => n.Worker).HasMaxLength(100);
        night.Property(n => n.Error).HasMaxLength(4000);
        night.HasOne<Club>().WithMany().HasForeignKey(n => n.ClubId).OnDelete(DeleteBehavior.Cascade);
    }
}
