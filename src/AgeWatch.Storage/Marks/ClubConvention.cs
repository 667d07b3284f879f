using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Marks;

/// <summary>A mark convention that a club has described itself.</summary>
public sealed class ClubConvention : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    /// <summary>Unique within the club and unlike every built-in key.</summary>
    public required string Key { get; init; }

    public required string Name { get; set; }

    public required string SourceNote { get; set; }

    public required string Pattern { get; set; }

    public bool IsExpiry { get; set; }

    /// <summary>Worked examples as JSON; they hold, else the row was refused.</summary>
    public required string Examples { get; set; }

    public required DateTime CreatedAt { get; init; }

    public int Version { get; set; }
}

internal sealed class ClubConventionConfiguration : IEntityTypeConfiguration<ClubConvention>
{
    public void Configure(EntityTypeBuilder<ClubConvention> convention)
    {
        convention.ToTable("club_conventions");
        convention.HasTenantKey();
        convention.Property(c => c.Key).HasMaxLength(64);
        convention.Property(c => c.Name).HasMaxLength(200);
        convention.Property(c => c.SourceNote).HasMaxLength(2000);
        convention.Property(c => c.Pattern).HasMaxLength(200);
        convention.HasIndex(c => new { c.ClubId, c.Key }).IsUnique();
    }
}
