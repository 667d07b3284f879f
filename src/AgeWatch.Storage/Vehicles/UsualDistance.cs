using AgeWatch.Core;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Vehicles;

/// <summary>What the club's officer says of a year's use of one kind of vehicle; for those of which nothing better is
/// known.</summary>
public sealed class UsualDistance : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    public required VehicleKind Kind { get; init; }

    /// <summary>Metres a year.</summary>
    public long Metres { get; set; }

    /// <summary>As it was given.</summary>
    public DistanceUnit Unit { get; set; }

    public string? Note { get; set; }

    public DateTime UpdatedAt { get; set; }

    public int Version { get; set; }
}

internal sealed class UsualDistanceConfiguration : IEntityTypeConfiguration<UsualDistance>
{
    public void Configure(EntityTypeBuilder<UsualDistance> usual)
    {
        usual.ToTable("usual_distances");
        usual.HasTenantKey();
        usual.Property(u => u.Note).HasMaxLength(1000);
        usual.HasIndex(u => new { u.ClubId, u.Kind }).IsUnique();
    }
}
