using AgeWatch.Storage;
using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Fixtures;

/// <summary>A data folder and a database that one test has to itself, with the schema in place.</summary>
public sealed class TestDatabase : IAsyncDisposable
{
    private static readonly Lazy<Task<byte[]>> SqliteTemplate = new(MakeSqliteTemplateAsync);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("agewatch-");

    private TestDatabase(DatabaseKind kind, string? connection)
    {
        Kind = kind;
        Connection = connection ?? Database.SqliteConnection(Path.Combine(Folder, "agewatch.db"));
    }

    public DatabaseKind Kind { get; }

    public string Connection { get; }

    public string Folder => _folder.FullName;

    /// <summary>What a server must be told to work here.</summary>
    public IReadOnlyList<(string Name, string Value)> Settings => Kind == DatabaseKind.Sqlite
        ? [("AGEWATCH_DATA", Folder)]
        : [("AGEWATCH_DATA", Folder), ("AGEWATCH_DATABASE", Connection)];

    /// <summary>With the schema in it. Skips the test when there is no PostgreSQL.</summary>
    public static async Task<TestDatabase> CreateAsync(DatabaseKind kind)
    {
        if (kind == DatabaseKind.Postgres)
        {
            return new(kind, await PostgresFixture.CreateDatabaseAsync());
        }

        TestDatabase database = new(kind, null);
        await File.WriteAllBytesAsync(Path.Combine(database.Folder, "agewatch.db"), await SqliteTemplate.Value);
        return database;
    }

    /// <summary>With nothing in it, as before the very first start.</summary>
    public static async Task<TestDatabase> CreateEmptyAsync(DatabaseKind kind) =>
        new(kind, kind == DatabaseKind.Postgres ? await PostgresFixture.CreateEmptyDatabaseAsync() : null);

    /// <summary>In the club that the first start made, where there was one.</summary>
    public AgeWatchContext Open()
    {
        var db = Open(Kind, Connection);
        db.EnterFirstClub();
        return db;
    }

    public AgeWatchContext Open(Guid clubId)
    {
        var db = Open(Kind, Connection);
        db.EnterClub(clubId);
        return db;
    }

    internal static AgeWatchContext Open(DatabaseKind kind, string connection)
    {
        DbContextOptionsBuilder<AgeWatchContext> options = new();
        options.UseAgeWatch(kind, connection);
        return new(options.Options);
    }

    public async ValueTask DisposeAsync()
    {
        if (Kind == DatabaseKind.Postgres)
        {
            await PostgresFixture.DropDatabaseAsync(Connection);
        }
        else
        {
            await using SqliteConnection pool = new(Connection);
            SqliteConnection.ClearPool(pool);
        }

        _folder.Delete(recursive: true);
    }

    private static async Task<byte[]> MakeSqliteTemplateAsync()
    {
        var folder = Directory.CreateTempSubdirectory("agewatch-template-");
        try
        {
            var file = Path.Combine(folder.FullName, "template.db");
            await using (var db = Open(
                DatabaseKind.Sqlite,
                new SqliteConnectionStringBuilder(
                    Database.SqliteConnection(file))
                { Pooling = false }.ConnectionString))
            {
                await db.MigrateSafelyAsync(CancellationToken.None);
            }

            // The last connection to close has written the log back into the file.
            return await File.ReadAllBytesAsync(file);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
