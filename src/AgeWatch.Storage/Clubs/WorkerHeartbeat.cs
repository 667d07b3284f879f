using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

/// <summary>When a worker process last said that it lives. Not tenant-owned.</summary>
public sealed class WorkerHeartbeat
{
    public required string Worker { get; init; }

    public DateTime At { get; set; }
}

internal sealed class WorkerHeartbeatConfiguration : IEntityTypeConfiguration<WorkerHeartbeat>
{
    public void Configure(EntityTypeBuilder<WorkerHeartbeat> heartbeat)
    {
        heartbeat.ToTable("worker_heartbeats");
        heartbeat.HasKey(h => h.Worker);
        heartbeat.Property(h => h.Worker).HasMaxLength(100);
    }
}
