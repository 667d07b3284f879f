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

    /// <summary>The whole description with its worked examples, as JSON; it was proved before it was stored.</summary>
    public required string Draft { get; set; }

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
        convention.HasIndex(c => new { c.ClubId, c.Key }).IsUnique();
    }
}
