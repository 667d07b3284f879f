using System.Reflection;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;

namespace AgeWatch.Server.Recording;

/// <summary>What goes with a record that is removed.</summary>
internal static class Removals
{
    private const int AtOnce = 1000;

    private static readonly MethodInfo Reader = typeof(Removals)
        .GetMethod(nameof(ReadAsync), BindingFlags.NonPublic | BindingFlags.Static)!;

    /// <summary>Removes by name the facts that the database would remove by its own rule, so that each has its line in
    /// the change log.</summary>
    public static async Task SpreadAsync(AgeWatchContext db, CancellationToken stop)
    {
        var open = db.ChangeTracker.Entries<ITenantRow>().Where(entry => entry.State == EntityState.Deleted).ToList();
        HashSet<object> seen = [.. open.Select(entry => entry.Entity)];
        while (open.Count > 0)
        {
            List<EntityEntry<ITenantRow>> next = [];
            foreach (var kind in open.GroupBy(entry => entry.Metadata))
            {
                var bonds = kind.Key.GetReferencingForeignKeys()
                    .Where(key => key.DeleteBehavior == DeleteBehavior.Cascade
                        && FactKinds.Include(key.DeclaringEntityType.ClrType));
                foreach (var bond in bonds)
                {
                    var read = Reader.MakeGenericMethod(bond.DeclaringEntityType.ClrType)
                        .CreateDelegate<Func<AgeWatchContext, Guid, string, Guid?[], CancellationToken,
                            Task<List<ITenantRow>>>>();
                    foreach (var some in kind.Chunk(AtOnce))
                    {
                        var ids = Array.ConvertAll(some, entry => (Guid?)entry.Entity.Id);
                        foreach (var row in await read(
                            db, some[0].Entity.ClubId, bond.Properties[^1].Name, ids, stop))
                        {
                            if (seen.Add(row))
                            {
                                var entry = db.Entry(row);
                                entry.State = EntityState.Deleted;
                                next.Add(entry);
                            }
                        }
                    }
                }
            }

            open = next;
        }
    }

    private static async Task<List<ITenantRow>> ReadAsync<T>(
        AgeWatchContext db, Guid clubId, string bond, Guid?[] ids, CancellationToken stop)
        where T : class, ITenantRow =>
        [.. await db.Set<T>()
            .Where(row => row.ClubId == clubId && ids.Contains(EF.Property<Guid?>(row, bond)))
            .ToListAsync(stop)];
}
