using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Webhooks;

/// <summary>An address that is told of events.</summary>
public sealed class Webhook : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required string Name { get; set; }

    public required string Url { get; set; }

    /// <summary>Event types, space-separated; empty: all.</summary>
    public string EventTypes { get; set; } = "";

    /// <summary>Of due states only this vehicle's; null: all.</summary>
    public Guid? VehicleId { get; set; }

    /// <summary>Of due states only this hazard class and worse.</summary>
    public HazardClass LeastHazard { get; set; } = HazardClass.Negligible;

    /// <summary>Of due states only this one and worse, and what has just left them.</summary>
    public DueState LeastState { get; set; } = DueState.InLife;

    /// <summary>Encrypted at rest; shown once.</summary>
    public required string Secret { get; set; }

    public string? PreviousSecret { get; set; }

    public DateTime? PreviousSecretUntil { get; set; }

    public DateTime? DisabledAt { get; set; }

    public string? DisabledReason { get; set; }

    /// <summary>Start of the present run of failures.</summary>
    public DateTime? FailingSince { get; set; }

    /// <summary>Events up to this sequence have their delivery row.</summary>
    public long DeliveredThrough { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class WebhookConfiguration : IEntityTypeConfiguration<Webhook>
{
    public void Configure(EntityTypeBuilder<Webhook> webhook)
    {
        webhook.ToTable("webhooks");
        webhook.HasTenantKey();
        webhook.Property(w => w.Name).HasMaxLength(200);
        webhook.Property(w => w.Url).HasMaxLength(2000);
        webhook.Property(w => w.EventTypes).HasMaxLength(1000);
        webhook.Property(w => w.Secret).HasMaxLength(500);
        webhook.Property(w => w.PreviousSecret).HasMaxLength(500);
        webhook.Property(w => w.DisabledReason).HasMaxLength(1000);
        webhook.HasOne<Vehicle>()
            .WithMany()
            .HasForeignKey(w => new { w.ClubId, w.VehicleId })
            .OnDelete(DeleteBehavior.Cascade);
    }
}

/// <summary>One event on its way to one webhook.</summary>
public sealed class WebhookDelivery : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required Guid WebhookId { get; init; }

    public required long Sequence { get; init; }

    /// <summary>Header webhook-id: the same at every try.</summary>
    public required string MessageId { get; init; }

    public required string EventType { get; init; }

    public required string Body { get; init; }

    public SendState State { get; set; }

    public int Attempts { get; set; }

    public DateTime? NextAttemptAt { get; set; }

    public string? LeaseOwner { get; set; }

    public DateTime? LeaseUntil { get; set; }

    public int? LastStatus { get; set; }

    public string? LastReply { get; set; }

    public DateTime? AcceptedAt { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class WebhookDeliveryConfiguration : IEntityTypeConfiguration<WebhookDelivery>
{
    public void Configure(EntityTypeBuilder<WebhookDelivery> delivery)
    {
        delivery.ToTable("webhook_deliveries");
        delivery.HasTenantKey();
        delivery.Property(d => d.MessageId).HasMaxLength(64);
        delivery.Property(d => d.EventType).HasMaxLength(64);
        delivery.Property(d => d.LeaseOwner).HasMaxLength(100);
        delivery.Property(d => d.LastReply).HasMaxLength(1000);
        delivery.HasOne<Webhook>()
            .WithMany()
            .HasForeignKey(d => new { d.ClubId, d.WebhookId })
            .OnDelete(DeleteBehavior.Cascade);
        delivery.HasIndex(d => new { d.ClubId, d.WebhookId, d.MessageId }).IsUnique();
        delivery.HasIndex(d => new { d.ClubId, d.State, d.NextAttemptAt });
    }
}
