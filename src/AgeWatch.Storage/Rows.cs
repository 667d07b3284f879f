using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage;

/// <summary>A row that belongs to one club. Its table is keyed by (club_id, id).</summary>
public interface ITenantRow
{
    Guid ClubId { get; }

    Guid Id { get; }
}

/// <summary>A row with an optimistic lock. <see cref="AgeWatchContext"/> raises the version at each save.</summary>
public interface IVersioned
{
    int Version { get; set; }
}

internal static class RowConfiguration
{
    /// <summary>Key (club_id, id), ids made by us, and the foreign key to the club.</summary>
    public static void HasTenantKey<T>(this EntityTypeBuilder<T> row)
        where T : class, ITenantRow
    {
        row.HasKey(r => new { r.ClubId, r.Id });
        row.Property(r => r.Id).ValueGeneratedNever();
        row.HasOne<Clubs.Club>().WithMany().HasForeignKey(r => r.ClubId).OnDelete(DeleteBehavior.Cascade);
    }
}
