using AgeWatch.Core;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

/// <summary>One body of members and cars: the tenant. A lone owner is a club of one.</summary>
public sealed class Club : IVersioned
{
    public required Guid ClubId { get; init; }

    public required string Name { get; set; }

    /// <summary>IANA zone id; "today" is this zone's local day.</summary>
    public required string TimeZone { get; set; }

    /// <summary>Minutes after local midnight at which the night run starts.</summary>
    public int NightMinute { get; set; } = 210;

    public DistanceUnit DistanceUnit { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class ClubConfiguration : IEntityTypeConfiguration<Club>
{
    public void Configure(EntityTypeBuilder<Club> club)
    {
        club.ToTable("clubs", table =>
            table.HasCheckConstraint("ck_clubs_night_minute", "night_minute BETWEEN 0 AND 1439"));
        club.HasKey(c => c.ClubId);
        club.Property(c => c.ClubId).ValueGeneratedNever();
        club.Property(c => c.Name).HasMaxLength(200);
        club.Property(c => c.TimeZone).HasMaxLength(64);
    }
}
