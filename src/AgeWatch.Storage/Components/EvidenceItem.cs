using AgeWatch.Core;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Components;

public enum EvidenceRowKind
{
    /// <summary>A mark, its text as read off the part.</summary>
    Mark,

    /// <summary>An invoice or other dated paper.</summary>
    Document,

    /// <summary>A maker's plate.</summary>
    Plate,

    /// <summary>The day a fluid was filled.</summary>
    Fill,

    /// <summary>The day the part was serviced, emptied, repacked or tested.</summary>
    Service,

    /// <summary>A day that starts a legal clock (installation test of a gas tank).</summary>
    Regulatory,
}

/// <summary>What an age rests on. Rows are withdrawn, never deleted: the history of what was believed stays.</summary>
public sealed class EvidenceItem : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid ComponentId { get; init; }

    public required EvidenceRowKind Kind { get; init; }

    /// <summary>A mark's or plate's text exactly as read.</summary>
    public string? Text { get; init; }

    public string? Convention { get; set; }

    /// <summary>For a mark or plate the day it was seen; else the day the evidence speaks of.</summary>
    public DateOnly? On { get; init; }

    public string? NotedBy { get; init; }

    public string? PhotoUrl { get; init; }

    public string? PhotoSha256 { get; init; }

    /// <summary>Triangle seen after a tyre's three digits; null: not looked at.</summary>
    public bool? Triangle { get; init; }

    /// <summary>What the odometer showed, in thousandths of its unit.</summary>
    public long? Thousandths { get; init; }

    public DistanceUnit? Unit { get; init; }

    /// <summary>What the hours meter showed, in thousandths.</summary>
    public long? Hours { get; init; }

    public required DateTime RecordedAt { get; init; }

    public DateTime? WithdrawnAt { get; set; }

    public string? WithdrawnReason { get; set; }

    public int Version { get; set; }
}

internal sealed class EvidenceRowConfiguration : IEntityTypeConfiguration<EvidenceItem>
{
    public void Configure(EntityTypeBuilder<EvidenceItem> evidence)
    {
        evidence.ToTable("evidence");
        evidence.HasTenantKey();
        evidence.Property(e => e.Text).HasMaxLength(120);
        evidence.Property(e => e.Convention).HasMaxLength(64);
        evidence.Property(e => e.NotedBy).HasMaxLength(200);
        evidence.Property(e => e.PhotoUrl).HasMaxLength(2000);
        evidence.Property(e => e.PhotoSha256).HasMaxLength(64);
        evidence.Property(e => e.WithdrawnReason).HasMaxLength(1000);
        evidence.HasOne<Component>()
            .WithMany()
            .HasForeignKey(e => new { e.ClubId, e.ComponentId })
            .OnDelete(DeleteBehavior.Cascade);
        evidence.HasIndex(e => new { e.ClubId, e.ComponentId });
    }
}
