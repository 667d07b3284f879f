using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Mail;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>
/// The club comes first in every key, index and foreign key of a tenant-owned table: it is what lets a distributed
/// PostgreSQL spread the schema by club, and what keeps one club's rows together on any database.
/// </summary>
public sealed class TenantModelTests
{
    // Read before the club is known, or about the server and no club.
    internal static readonly Type[] NotTenantOwned = [
        typeof(AccessHash), typeof(ServerSecret), typeof(WorkerHeartbeat), typeof(MailDomain)];

    [Theory]
    [InlineData(DatabaseKind.Sqlite)]
    [InlineData(DatabaseKind.Postgres)]
    public void The_club_comes_first(DatabaseKind kind)
    {
        // Nothing connects: the model alone is asked.
        using var db = TestDatabase.Open(kind, kind == DatabaseKind.Sqlite ? "Data Source=none" : "Host=none");
        var tables = db.Model.GetEntityTypes()
            .Where(table => !table.IsOwned() && !NotTenantOwned.Contains(table.ClrType))
            .ToList();

        Assert.NotEmpty(tables);
        List<string> faults =
        [
            .. from table in tables
               from key in table.GetKeys()
               where !ClubFirst(key.Properties)
               select $"{table.GetTableName()}: key ({Columns(key.Properties)})",
            .. from table in tables
               from index in table.GetIndexes()
               where !ClubFirst(index.Properties)
               select $"{table.GetTableName()}: index ({Columns(index.Properties)})",
            .. from table in tables
               from reference in table.GetForeignKeys()
               where !ClubFirst(reference.Properties) || !ClubFirst(reference.PrincipalKey.Properties)
               select $"{table.GetTableName()}: foreign key ({Columns(reference.Properties)}) to "
                   + $"{reference.PrincipalEntityType.GetTableName()}",
        ];
        Assert.Empty(faults);
    }

    /// <summary>A table with a club column is found by its club alone; one without is of no club.</summary>
    [Fact]
    public void Every_tenants_table_is_filtered_by_the_club_that_was_entered()
    {
        const string Filter = "row => (row.ClubId == value(AgeWatch.Storage.AgeWatchContext).ClubId)";
        using var db = TestDatabase.Open(DatabaseKind.Sqlite, "Data Source=none");
        Assert.All(db.Model.GetEntityTypes().Where(table => !table.IsOwned()), table => Assert.Equal(
            NotTenantOwned.Contains(table.ClrType) ? null : Filter,
            table.FindDeclaredQueryFilter(AgeWatchContext.ClubFilter)?.Expression?.ToString()));
    }

    private static bool ClubFirst(IReadOnlyList<IReadOnlyProperty> properties) =>
        properties[0].GetColumnName() == "club_id";

    private static string Columns(IReadOnlyList<IReadOnlyProperty> properties) =>
        string.Join(", ", properties.Select(property => property.GetColumnName()));
}
