using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Design;

namespace AgeWatch.Migrations.Sqlite;

/// <summary>Lets dotnet-ef build the model without the server; it never connects.</summary>
internal sealed class DesignTimeFactory : IDesignTimeDbContextFactory<AgeWatchContext>
{
    public AgeWatchContext CreateDbContext(string[] args)
    {
        var options = new DbContextOptionsBuilder<AgeWatchContext>();
        options.UseAgeWatch(DatabaseKind.Sqlite, Database.SqliteConnection("design-time.db"));
        return new AgeWatchContext(options.Options);
    }
}
