using System.Data.Common;
using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Diagnostics;
using Npgsql;

namespace AgeWatch.Storage;

public enum DatabaseKind
{
    Sqlite,
    Postgres,
}

/// <summary>The schema in the database has migrations that this program does not know.</summary>
public sealed class NewerSchemaException(string latestInDatabase, string latestHere) : Exception(
    $"The database was last changed by a newer AgeWatch (schema {latestInDatabase}; this program knows {latestHere}). "
    + "Start the newer program, or restore the backup made before it ran.");

/// <summary>The only place that knows how the two databases differ.</summary>
public static partial class Database
{
    private static readonly TimeSpan MigrationPatience = TimeSpan.FromMinutes(2);

    public static DbContextOptionsBuilder UseAgeWatch(
        this DbContextOptionsBuilder options, DatabaseKind kind, string connection) =>
        (kind switch
        {
            DatabaseKind.Sqlite => options
                .UseSqlite(connection, sqlite => sqlite.MigrationsAssembly("AgeWatch.Migrations.Sqlite"))
                .AddInterceptors(SqlitePragmas.Instance),
            DatabaseKind.Postgres => options.UseNpgsql(
                connection, postgres => postgres.MigrationsAssembly("AgeWatch.Migrations.Postgres")),
            _ => throw new ArgumentOutOfRangeException(nameof(kind)),
        }).UseSnakeCaseNamingConvention();

    public static string SqliteConnection(string file) =>
        new SqliteConnectionStringBuilder
        {
            DataSource = file,
            ForeignKeys = true,
            DefaultTimeout = 30
        }.ConnectionString;

    public static bool IsPostgres(this AgeWatchContext db) =>
        db.Database.ProviderName == "Npgsql.EntityFrameworkCore.PostgreSQL";

    /// <summary>Ends a SELECT of rows to claim: those that another transaction has in hand are passed over.</summary>
    /// <remarks>SQLite has one writer at a time, so there the statement itself is claim enough.</remarks>
    public static string SkipLocked(this AgeWatchContext db) => db.IsPostgres() ? "FOR UPDATE SKIP LOCKED" : "";

    /// <summary>What follows a column that must be one of the list in a parameter.</summary>
    internal static string IsInList(this AgeWatchContext db, string parameter) =>
        db.IsPostgres() ? $"= ANY(@{parameter})" : $"IN (SELECT value FROM json_each(@{parameter}))";

    /// <summary>What follows a column that must be among what <paramref name="select"/> finds.</summary>
    /// <remarks>As an array PostgreSQL looks each of them up by index; as a set it may read a whole club's rows for one
    /// page of it.</remarks>
    internal static string IsInQuery(this AgeWatchContext db, string select) =>
        db.IsPostgres() ? $"= ANY(ARRAY({select}))" : $"IN ({select})";

    internal static object ListParameter(this AgeWatchContext db, IReadOnlyCollection<Guid> values) =>
        db.IsPostgres()
            ? values.ToArray()
            : $"[{string.Join(',', values.Select(value => $"\"{value.ToString().ToUpperInvariant()}\""))}]";

    /// <summary>Lets PostgreSQL keep the plan for the next time; SQLite, which is in this process, has no trip to
    /// save.</summary>
    internal static Task PrepareAsync(this AgeWatchContext db, DbCommand command, CancellationToken stop) =>
        db.IsPostgres() ? command.PrepareAsync(stop) : Task.CompletedTask;

    /// <summary>Brings the schema up to date; safe when several processes start at once or one was killed
    /// half-way.</summary>
    /// <exception cref="NewerSchemaException">The schema is newer than this program.</exception>
    /// <exception cref="TimeoutException">Another process holds the lock for longer than two minutes.</exception>
    public static async Task MigrateSafelyAsync(this AgeWatchContext db, CancellationToken stop)
    {
        if (db.IsPostgres())
        {
            await CreatePostgresDatabaseAsync(db, stop);
            await MigrateAsync(db, stop);
            return;
        }

        // EF guards SQLite migrations by a row that a killed process leaves behind for ever. A file lock dies with
        // its holder; whoever holds it may remove the row, because nobody else can be migrating.
        var file = new SqliteConnectionStringBuilder(db.Database.GetConnectionString()).DataSource;
        await using var held = await LockFileAsync(file + ".migrating", stop);
        await db.Database.OpenConnectionAsync(stop);
        try
        {
            await using (var command = db.Database.GetDbConnection().CreateCommand())
            {
                command.CommandText =
                    "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = '__EFMigrationsLock'";
                if (Convert.ToInt64(
                    await command.ExecuteScalarAsync(stop), System.Globalization.CultureInfo.InvariantCulture) > 0)
                {
                    command.CommandText = "DELETE FROM \"__EFMigrationsLock\"";
                    await command.ExecuteNonQueryAsync(stop);
                }
            }

            await MigrateAsync(db, stop);
        }
        finally
        {
            await db.Database.CloseConnectionAsync();
        }
    }

    /// <summary>Whether the schema is just what this program knows; for readiness.</summary>
    public static async Task<bool> IsSchemaCurrentAsync(this AgeWatchContext db, CancellationToken stop)
    {
        var applied = await db.Database.GetAppliedMigrationsAsync(stop);
        return applied.SequenceEqual(db.Database.GetMigrations());
    }

    public static bool IsUniqueViolation(this DbUpdateException error) => error.InnerException switch
    {
        SqliteException sqlite => sqlite.SqliteExtendedErrorCode is 2067 or 1555,
        PostgresException postgres => postgres.SqlState == PostgresErrorCodes.UniqueViolation,
        _ => false,
    };

    public static bool IsForeignKeyViolation(this DbUpdateException error) => error.InnerException switch
    {
        SqliteException sqlite => sqlite.SqliteExtendedErrorCode == 787,
        PostgresException postgres => postgres.SqlState == PostgresErrorCodes.ForeignKeyViolation,
        _ => false,
    };

    /// <summary>The lock for rows that are read, judged and then written by other rows; held until the transaction
    /// ends.</summary>
    /// <param name="vehicleIds">Null stands for the shelf.</param>
    /// <remarks>
    /// On PostgreSQL row locks on the vehicles, in one order everywhere, so that two swaps cannot wait for each other,
    /// and on the club for its shelf. On SQLite one writer at a time is the database's own rule, and a transaction that
    /// begins by writing takes that place at once.
    /// </remarks>
    public static async Task LockAsync(
        this AgeWatchContext db, Guid clubId, IEnumerable<Guid?> vehicleIds, CancellationToken stop)
    {
        db.CheckClub(clubId, "clubs");
        var all = vehicleIds.Distinct().ToList();
        if (!db.IsPostgres())
        {
            await db.Clubs.ExecuteUpdateAsync(set => set.SetProperty(c => c.Name, c => c.Name), stop);
            return;
        }

        var ids = all.OfType<Guid>().ToArray();
        if (ids.Length > 0)
        {
            await db.Database.ExecuteSqlAsync(
                $"SELECT 1 FROM vehicles WHERE club_id = {clubId} AND id = ANY({ids}) ORDER BY id FOR UPDATE", stop);
        }

        if (all.Contains(null))
        {
            // Any stronger lock would hold up every row that refers to the club.
            await db.Database.ExecuteSqlAsync($"SELECT 1 FROM clubs WHERE club_id = {clubId} FOR NO KEY UPDATE", stop);
        }
    }

    /// <summary>The first of <paramref name="count"/> numbers of the club's event sequence; the row stays locked until
    /// the transaction ends.</summary>
    public static async Task<long> TakeSequenceAsync(
        this AgeWatchContext db, Guid clubId, string counter, int count, CancellationToken stop)
    {
        db.CheckClub(clubId, "club_counters");
        var last = await db.Database.SqlQuery<long>(
            $"""
            INSERT INTO club_counters (club_id, name, value) VALUES ({clubId}, {counter}, {count})
            ON CONFLICT (club_id, name) DO UPDATE SET value = club_counters.value + {count}
            RETURNING value AS "Value"
            """).ToListAsync(stop);
        return last[0] - count + 1;
    }

    private static async Task MigrateAsync(AgeWatchContext db, CancellationToken stop)
    {
        var known = db.Database.GetMigrations().ToHashSet();
        var unknown = (await db.Database.GetAppliedMigrationsAsync(stop)).Where(m => !known.Contains(m)).ToList();
        if (unknown.Count > 0)
        {
            throw new NewerSchemaException(unknown[^1], known.Max() ?? "none");
        }

        using var patience = CancellationTokenSource.CreateLinkedTokenSource(stop);
        patience.CancelAfter(MigrationPatience);
        try
        {
            if (db.IsPostgres())
            {
                await MigratePostgresAsync(db, patience.Token);
                return;
            }

            await db.Database.MigrateAsync(patience.Token);
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            throw new TimeoutException("The schema could not be brought up to date within two minutes: another "
                + "process may be holding the migration lock.");
        }
    }

    // EF's own lock is on its table of migrations and ends with each of them: of several that start at once, one that
    // has waited for the first migration would then do the second one twice. This lock ends with its connection.
    private static async Task MigratePostgresAsync(AgeWatchContext db, CancellationToken stop)
    {
        const long MigrationLock = 0x41676557; // "AgeW"; any number will do that no other program on the database uses.
        var usual = db.Database.GetCommandTimeout();
        db.Database.SetCommandTimeout(MigrationPatience);
        await db.Database.OpenConnectionAsync(stop);
        try
        {
            await db.Database.ExecuteSqlAsync($"SELECT pg_advisory_lock({MigrationLock})", stop);
            try
            {
                await db.Database.MigrateAsync(stop);
            }
            finally
            {
                await db.Database.ExecuteSqlAsync(
                    $"SELECT pg_advisory_unlock({MigrationLock})", CancellationToken.None);
            }
        }
        finally
        {
            await db.Database.CloseConnectionAsync();
            db.Database.SetCommandTimeout(usual);
        }
    }

    private static async Task CreatePostgresDatabaseAsync(AgeWatchContext db, CancellationToken stop)
    {
        if (await db.Database.CanConnectAsync(stop))
        {
            return;
        }

        var target = new NpgsqlConnectionStringBuilder(db.Database.GetConnectionString());
        var name = target.Database ?? "agewatch";
        target.Database = "postgres";
        target.Pooling = false;
        await using var connection = new NpgsqlConnection(target.ConnectionString);
        await connection.OpenAsync(stop);
        try
        {
            await using var command = connection.CreateCommand();
            command.CommandText = $"CREATE DATABASE \"{name.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
            await command.ExecuteNonQueryAsync(stop);
        }
        catch (PostgresException twin) when (twin.SqlState is PostgresErrorCodes.DuplicateDatabase
            or PostgresErrorCodes.UniqueViolation)
        {
            // Another process was a moment faster; the database is there, which is all we wanted.
        }
    }

    private static async Task<FileStream> LockFileAsync(string path, CancellationToken stop)
    {
        for (var waited = TimeSpan.Zero; ; waited += TimeSpan.FromMilliseconds(100))
        {
            try
            {
                return new FileStream(
                    path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1, FileOptions.None);
            }
            catch (IOException) when (waited < MigrationPatience)
            {
                await Task.Delay(100, stop);
            }
            catch (IOException)
            {
                throw new TimeoutException(
                    $"Another process has been migrating the database for two minutes ({path} is locked).");
            }
        }
    }

    /// <summary>
    /// After much was written: SQLite plans by statistics that nothing else takes, and without them it walks a whole
    /// club for the list of one vehicle. PostgreSQL takes its own.
    /// </summary>
    public static async Task TakeStatisticsAsync(this AgeWatchContext db, CancellationToken stop)
    {
        if (!db.IsPostgres())
        {
            await db.Database.ExecuteSqlAsync($"PRAGMA analysis_limit = 1000; ANALYZE;", stop);
        }
    }

    /// <summary>WAL: readers go on while the night writes. NORMAL: with WAL a crash of the machine can lose the last
    /// commits, never the file.</summary>
    private sealed class SqlitePragmas : DbConnectionInterceptor
    {
        public static readonly SqlitePragmas Instance = new();

        public override void ConnectionOpened(DbConnection connection, ConnectionEndEventData eventData)
        {
            using var command = connection.CreateCommand();
            command.CommandText = "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA foreign_keys = ON;";
            command.ExecuteNonQuery();
        }

        public override async Task ConnectionOpenedAsync(
            DbConnection connection, ConnectionEndEventData eventData, CancellationToken cancellationToken = default)
        {
            await using var command = connection.CreateCommand();
            command.CommandText = "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA foreign_keys = ON;";
            await command.ExecuteNonQueryAsync(cancellationToken);
        }
    }
}
