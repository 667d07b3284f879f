using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Migrating;

/// <summary>Start-up on SQLite, where EF's own lock is a row that outlives a killed process.</summary>
public sealed class MigrationTests
{
    [Fact]
    public async Task A_lock_left_by_a_killed_migrator_does_not_hold_up_the_next()
    {
        await InFolderAsync(async file =>
        {
            await using (var db = Open(file))
            {
                await db.Database.ExecuteSqlRawAsync(
                    "CREATE TABLE \"__EFMigrationsLock\" (\"Id\" INTEGER NOT NULL CONSTRAINT \"PK___EFMigrationsLock\" PRIMARY KEY, \"Timestamp\" TEXT NOT NULL); "
                    + "INSERT INTO \"__EFMigrationsLock\" VALUES (1, '2026-11-25 00:00:00')",
                    TestContext.Current.CancellationToken);
            }

            await using var next = Open(file);
            await next.MigrateSafelyAsync(TestContext.Current.CancellationToken);
            Assert.True(await next.IsSchemaCurrentAsync(TestContext.Current.CancellationToken));
        });
    }

    [Fact]
    public async Task Several_that_start_at_once_all_come_up()
    {
        await InFolderAsync(async file =>
        {
            await Task.WhenAll(Enumerable.Range(0, 4).Select(async _ =>
            {
                await using var db = Open(file);
                await db.MigrateSafelyAsync(TestContext.Current.CancellationToken);
            }));

            await using var check = Open(file);
            Assert.True(await check.IsSchemaCurrentAsync(TestContext.Current.CancellationToken));
        });
    }

    [Fact]
    public async Task A_newer_schema_is_refused_and_left_alone()
    {
        await InFolderAsync(async file =>
        {
            await using var db = Open(file);
            await db.MigrateSafelyAsync(TestContext.Current.CancellationToken);
            await db.Database.ExecuteSqlRawAsync(
                "INSERT INTO \"__EFMigrationsHistory\" VALUES ('99990101000000_FromTheFuture', '99.0.0')",
                TestContext.Current.CancellationToken);

            var refusal = await Assert.ThrowsAsync<NewerSchemaException>(() =>
                db.MigrateSafelyAsync(TestContext.Current.CancellationToken));

            Assert.Contains("FromTheFuture", refusal.Message, StringComparison.Ordinal);
        });
    }

    private static AgeWatchContext Open(string file)
    {
        var options = new DbContextOptionsBuilder<AgeWatchContext>();
        options.UseAgeWatch(DatabaseKind.Sqlite, Database.SqliteConnection(file) + ";Pooling=False");
        return new(options.Options);
    }

    private static async Task InFolderAsync(Func<string, Task> test)
    {
        var folder = Directory.CreateTempSubdirectory("agewatch-");
        try
        {
            await test(Path.Combine(folder.FullName, "agewatch.db"));
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
