using System.Linq.Expressions;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.ChangeTracking;
using Microsoft.EntityFrameworkCore.Metadata;

namespace AgeWatch.Storage;

/// <summary>The rows of a club were asked for, or written, where no club or another one had been entered.</summary>
public sealed class ClubScopeException(string message) : InvalidOperationException(message);

/// <summary>The club in whose rows a context works: every query finds those alone, and no others are saved.</summary>
public sealed partial class AgeWatchContext
{
    /// <summary>The name of the filter that every tenant's table has.</summary>
    public const string ClubFilter = "club";

    private Guid? _club;

    /// <summary>The club that was entered.</summary>
    /// <exception cref="ClubScopeException">None was. A query of a tenant's table comes to this too.</exception>
    public Guid ClubId => _club ?? throw new ClubScopeException(
        "No club has been entered, so there is no saying whose rows are meant. Enter it, or say AcrossClubs.");

    /// <summary>From here on the context knows the rows of this club only.</summary>
    /// <exception cref="ClubScopeException">Rows of another club are still tracked.</exception>
    public void EnterClub(Guid clubId)
    {
        if (_club == clubId)
        {
            return;
        }

        if (ChangeTracker.Entries().Any(entry => ClubOf(entry) is { } other && other != clubId))
        {
            throw new ClubScopeException("Rows of another club are still tracked.");
        }

        _club = clubId;
    }

    // A pooled context is given to somebody else, who must not find himself in a club.
    public override void Dispose()
    {
        _club = null;
        base.Dispose();
    }

    public override ValueTask DisposeAsync()
    {
        _club = null;
        return base.DisposeAsync();
    }

    /// <exception cref="ClubScopeException">The row is of another club.</exception>
    internal void CheckClub(Guid rowsClub, string table)
    {
        if (rowsClub != ClubId)
        {
            throw new ClubScopeException($"A row of {table} is of another club than the one that was entered.");
        }
    }

    internal static IProperty? ClubColumn(IReadOnlyTypeBase table) => table.FindProperty(nameof(ClubId)) as IProperty;

    private void AddClubFilter(IMutableModel model)
    {
        // By the column and not by an interface: whoever adds a table of a club need not think of it. A hash of a key
        // or token is looked up to learn of which club it is.
        foreach (var table in model.GetEntityTypes()
            .Where(t => t.FindProperty(nameof(ClubId)) is not null && t.ClrType != typeof(AccessHash)))
        {
            // A plain comparison: with "or no club was entered" beside it no index could be used.
            var row = Expression.Parameter(table.ClrType, "row");
            table.SetQueryFilter(
                ClubFilter,
                Expression.Lambda(
                    Expression.Equal(
                        Expression.Property(row, nameof(ClubId)),
                        Expression.Property(Expression.Constant(this), nameof(ClubId))),
                    row));
        }
    }

    private void CheckClubs()
    {
        foreach (var entry in ChangeTracker.Entries())
        {
            if (entry.State is EntityState.Added or EntityState.Modified or EntityState.Deleted
                && ClubOf(entry) is { } club)
            {
                CheckClub(club, entry.Metadata.ShortName());
            }
        }
    }

    private static Guid? ClubOf(EntityEntry entry) =>
        ClubColumn(entry.Metadata) is { } column ? (Guid)entry.CurrentValues[column]! : null;
}

public static class ClubScope
{
    /// <summary>The whole query, its joins and subqueries included, sees the rows of all clubs.</summary>
    /// <remarks>Only where work is done for all of them; a test holds the list of those places.</remarks>
    public static IQueryable<T> AcrossClubs<T>(this IQueryable<T> rows)
        where T : class => rows.IgnoreQueryFilters([AgeWatchContext.ClubFilter]);
}
