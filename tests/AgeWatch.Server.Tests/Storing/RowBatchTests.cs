using System.Reflection;
using System.Runtime.CompilerServices;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;

namespace AgeWatch.Server.Tests.Storing;

/// <summary>
/// What is read past EF is what EF reads: of every table a row with all that can be left out, and one with nothing left
/// out. The judge is EF's own untracked query.
/// </summary>
public sealed class RowBatchTests
{
    private static readonly MethodInfo Rows = typeof(RowBatch)
        .GetMethods()
        .Single(m => m.Name == nameof(RowBatch.Rows) && m.GetGenericArguments().Length == 2);
    private static readonly (Type Entity, Type Slice)[] Slices = [
        (typeof(Component), typeof(ComponentSlice)), (typeof(EvidenceRow), typeof(EvidenceSlice))];

    [Theory, OnBothDatabases]
    public async Task Every_table_is_read_as_the_model_has_it(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        await using var db = database.Open();
        await LiftRulesAsync(db);
        List<IEntityType> tables = [.. db.Model.GetEntityTypes()];
        foreach (var table in tables)
        {
            db.AddRange(RowOf(table, 1, isFull: true), RowOf(table, 2, isFull: false));
        }

        await db.SaveChangesAsync(TestContext.Current.CancellationToken);
        db.ChangeTracker.Clear();

        foreach (var (entity, slice) in tables.Select(table => (table.ClrType, table.ClrType)).Concat(Slices))
        {
            RowBatch read = new(db);
            var rows = (System.Collections.IList)Rows.MakeGenericMethod(entity, slice).Invoke(read, ["1 = 1"])!;
            await read.ExecuteAsync(TestContext.Current.CancellationToken);

            Assert.Equal(Shown(await ByEfAsync(db, entity), slice), Shown(rows.Cast<object>(), slice));
        }
    }

    [Theory, OnBothDatabases]
    public async Task Lists_keep_to_their_statements(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        await using var db = database.Open();
        await LiftRulesAsync(db);
        var table = db.Model.FindEntityType(typeof(Fitting))!;
        List<Fitting> fittings = [.. Enumerable.Range(1, 3).Select(i => (Fitting)RowOf(table, i, isFull: true))];
        db.AddRange(fittings);
        await db.SaveChangesAsync(TestContext.Current.CancellationToken);

        RowBatch read = new RowBatch(db)
            .With("club", fittings[0].ClubId)
            .With("some", [fittings[0].Id, fittings[2].Id])
            .With("none", (IReadOnlyCollection<Guid>)[]);
        var none = read.Rows<Fitting>($"id {read.In("none")}");
        var some = read.Rows<Fitting>($"id {read.In("some")}");
        var components = read.Rows<Component>("club_id = @club");
        var first = read.Rows<Fitting>("club_id = @club");
        await read.ExecuteAsync(TestContext.Current.CancellationToken);

        Assert.Empty(none);
        Assert.Equal([fittings[0].Id, fittings[2].Id], some.Select(f => f.Id).Order());
        Assert.Empty(components);
        Assert.Equal([fittings[0].Id], first.Select(f => f.Id));
    }

    /// <summary>The rows stand for nothing, so no rule between or within them need hold.</summary>
    private static async Task LiftRulesAsync(AgeWatchContext db)
    {
        await db.Database.OpenConnectionAsync();
        await db.Database.ExecuteSqlRawAsync(db.IsPostgres()
            ? """
              SET session_replication_role = replica;
              DO $$ DECLARE c record; BEGIN
                  FOR c IN SELECT conrelid::regclass AS of, conname FROM pg_constraint WHERE contype = 'c' AND connamespace = 'public'::regnamespace LOOP
                      EXECUTE format('ALTER TABLE %s DROP CONSTRAINT %I', c.of, c.conname);
                  END LOOP;
              END $$
              """
            : "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON");
    }

    private static object RowOf(IEntityType table, int number, bool isFull)
    {
        var row = RuntimeHelpers.GetUninitializedObject(table.ClrType);
        foreach (var property in table.GetProperties().Where(property => isFull || !property.IsNullable))
        {
            property.PropertyInfo!.SetValue(
                row,
                Some(Nullable.GetUnderlyingType(property.ClrType)
                    ?? property.ClrType, property.GetMaxLength(), number));
        }

        return row;
    }

    private static object Some(Type type, int? most, int number) =>
        type == typeof(Guid) ? new Guid($"0000000{number}-9abc-7def-8123-456789abcdef")
        : type == typeof(string) ? $"{number}ä\"\n"[..Math.Min(most ?? 4, 4)]
        : type == typeof(DateOnly) ? new DateOnly(1987, 5, number)
        : type == typeof(DateTime) ? new DateTime(2026, 11, number, 13, 14, 15, 678, DateTimeKind.Utc)
        : type == typeof(bool) ? number == 1
        : type == typeof(byte[]) ? new[] { (byte)number, byte.MaxValue }
        : type.IsEnum ? Enum.GetValues(type).GetValue(Math.Min(number, Enum.GetValues(type).Length - 1))!
        : Convert.ChangeType(number * 40, type, System.Globalization.CultureInfo.InvariantCulture);

    private static async Task<IEnumerable<object>> ByEfAsync(AgeWatchContext db, Type entity)
    {
        var set = (IQueryable<object>)typeof(DbContext)
            .GetMethod(nameof(DbContext.Set), [])!.MakeGenericMethod(entity)
            .Invoke(db, null)!;
        return await set.AsNoTracking().ToListAsync(TestContext.Current.CancellationToken);
    }

    private static IEnumerable<string> Shown(IEnumerable<object> rows, Type slice) => rows
        .Select(row => string.Join(", ", slice.GetProperties()
            .Where(property => property.CanWrite)
            .Select(property => row.GetType().GetProperty(property.Name)!.GetValue(row) switch
        {
            DateTime at => $"{property.Name}={at:O}",
            byte[] bytes => $"{property.Name}={Convert.ToHexString(bytes)}",
            var value => $"{property.Name}={value}",
        }))).Order(StringComparer.Ordinal);
}
