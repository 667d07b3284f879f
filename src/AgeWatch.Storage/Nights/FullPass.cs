using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Nights;

/// <summary>The rules that a club's answers rest on, and how far a recomputation of all of them has come.</summary>
public sealed class FullPass
{
    public required Guid ClubId { get; init; }

    /// <summary>The rules that every answer of the club rests on; null: no pass has ever come to its end.</summary>
    public string? RuleVersion { get; set; }

    /// <summary>The rules of the pass under way; null: none is.</summary>
    public string? UnderWay { get; set; }

    /// <summary>The last vehicle that the pass under way is through with, in order of id; null: none yet.</summary>
    public Guid? After { get; set; }
}

internal sealed class FullPassConfiguration : IEntityTypeConfiguration<FullPass>
{
    public void Configure(EntityTypeBuilder<FullPass> pass)
    {
        pass.ToTable("full_passes");
        pass.HasKey(p => p.ClubId);
        pass.Property(p => p.ClubId).ValueGeneratedNever();
        pass.Property(p => p.RuleVersion).HasMaxLength(32);
        pass.Property(p => p.UnderWay).HasMaxLength(32);
        pass.HasOne<Club>().WithMany().HasForeignKey(p => p.ClubId).OnDelete(DeleteBehavior.Cascade);
    }
}
