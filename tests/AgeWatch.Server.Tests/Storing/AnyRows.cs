using System.Runtime.CompilerServices;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;

namespace AgeWatch.Server.Tests.Storing;

/// <summary>A row of any table, whose every id is the number's own: what one refers to bears the same.</summary>
internal static class AnyRows
{
    /// <summary>The rows stand for nothing, so no rule between or within them need hold.</summary>
    public static async Task LiftRulesAsync(AgeWatchContext db)
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

    public static object RowOf(IEntityType table, int number, bool isFull)
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

    public static Guid Numbered(int number) => new($"0000000{number}-9abc-7def-8123-456789abcdef");

    private static object Some(Type type, int? most, int number) =>
        type == typeof(Guid) ? Numbered(number)
        : type == typeof(string) ? $"{number}ä\"\n"[..Math.Min(most ?? 4, 4)]
        : type == typeof(DateOnly) ? new DateOnly(1987, 5, number)
        : type == typeof(DateTime) ? new DateTime(2026, 11, number, 13, 14, 15, 678, DateTimeKind.Utc)
        : type == typeof(bool) ? number == 1
        : type == typeof(byte[]) ? new[] { (byte)number, byte.MaxValue }
        : type.IsEnum ? Enum.GetValues(type).GetValue(Math.Min(number, Enum.GetValues(type).Length - 1))!
        : Convert.ChangeType(number * 40, type, System.Globalization.CultureInfo.InvariantCulture);

    public static async Task<List<object>> ByEfAsync(AgeWatchContext db, Type entity)
    {
        var set = (IQueryable<object>)typeof(DbContext)
            .GetMethod(nameof(DbContext.Set), [])!.MakeGenericMethod(entity)
            .Invoke(db, null)!;
        return await set.AsNoTracking().ToListAsync(TestContext.Current.CancellationToken);
    }

    public static IEnumerable<string> Shown(IEnumerable<object> rows, Type slice) => rows
        .Select(row => string.Join(", ", slice.GetProperties()
            .Where(property => property.CanWrite)
            .Select(property => row.GetType().GetProperty(property.Name)!.GetValue(row) switch
        {
            DateTime at => $"{property.Name}={at:O}",
            byte[] bytes => $"{property.Name}={Convert.ToHexString(bytes)}",
            var value => $"{property.Name}={value}",
        }))).Order(StringComparer.Ordinal);
}
