using System.Globalization;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.EntityFrameworkCore.Storage;

namespace AgeWatch.Storage;

public static partial class Database
{
    // Bounds what one statement holds in memory, here and in the database.
    private const int RowsAtOnce = 5000;

    /// <summary>Adds rows, or puts them in the place of those with the same key, in the transaction at hand.</summary>
    /// <remarks>
    /// PostgreSQL takes one array a column in one statement; SQLite, which has no way to go, one prepared statement a
    /// row. Nothing is tracked: the rows may be thrown away.
    /// </remarks>
    /// <exception cref="ClubScopeException">A row is of another club than the context's.</exception>
    public static async Task PutAsync<T>(this AgeWatchContext db, IReadOnlyList<T> rows, CancellationToken stop)
        where T : class
    {
        if (rows.Count == 0)
        {
            return;
        }

        var table = db.Model.FindEntityType(typeof(T))!;
        if (AgeWatchContext.ClubColumn(table)?.GetGetter() is { } club)
        {
            foreach (var row in rows)
            {
                db.CheckClub((Guid)club.GetClrValue(row)!, table.ShortName());
            }
        }

        List<Column> columns = [.. table.GetProperties().Select(property => new Column(property))];
        var names = string.Join(", ", columns.Select(column => column.Name));
        var values = string.Join(", ", columns.Select((_, i) => string.Create(CultureInfo.InvariantCulture, $"@p{i}")));
        var others = columns.Where(column => !column.IsKey).Select(column => $"{column.Name} = excluded.{column.Name}");
        await db.Database.OpenConnectionAsync(stop);
        try
        {
            await using var command = db.Database.GetDbConnection().CreateCommand();
            command.Transaction = db.Database.CurrentTransaction?.GetDbTransaction();
            command.CommandText = $"""
                INSERT INTO {table.GetTableName()} ({names}) {(db.IsPostgres() ? $"SELECT * FROM unnest({values})" : $"VALUES ({values})")}
                ON CONFLICT ({string.Join(", ", columns.Where(column => column.IsKey).Select(column => column.Name))})
                DO UPDATE SET {string.Join(", ", others)}
                """;
            for (var i = 0; i < columns.Count; i++)
            {
                var parameter = command.CreateParameter();
                parameter.ParameterName = string.Create(CultureInfo.InvariantCulture, $"@p{i}");
                command.Parameters.Add(parameter);
            }

            if (db.IsPostgres())
            {
                foreach (var some in rows.Chunk(RowsAtOnce))
                {
                    for (var i = 0; i < columns.Count; i++)
                    {
                        command.Parameters[i].Value = columns[i].Of(some);
                    }

                    await command.ExecuteNonQueryAsync(stop);
                }

                return;
            }

            foreach (var row in rows)
            {
                for (var i = 0; i < columns.Count; i++)
                {
                    command.Parameters[i].Value = columns[i].Of(row) ?? DBNull.Value;
                }

                await command.ExecuteNonQueryAsync(stop);
            }
        }
        finally
        {
            await db.Database.CloseConnectionAsync();
        }
    }

    /// <summary>A column as the model has it, so that a new one cannot be forgotten here.</summary>
    private sealed class Column(IProperty property)
    {
        private readonly IClrPropertyGetter _getter = property.GetGetter();
        private readonly Func<object?, object?>? _toStored = property.GetTypeMapping().Converter?.ConvertToProvider;
        private readonly Type _stored = property.GetTypeMapping().Converter?.ProviderClrType ?? property.ClrType;

        // Some names are words of SQL.
        public string Name { get; } = $"\"{property.GetColumnName()}\"";

        public bool IsKey { get; } = property.IsPrimaryKey();

        public object? Of(object row) =>
            _getter.GetClrValue(row) is not { } value ? null : _toStored is null ? value : _toStored(value);

        public Array Of(object[] rows)
        {
            var element = _stored.IsValueType && Nullable.GetUnderlyingType(_stored) is null
                ? typeof(Nullable<>).MakeGenericType(_stored)
                : _stored;
            var values = Array.CreateInstance(element, rows.Length);
            for (var i = 0; i < rows.Length; i++)
            {
                values.SetValue(Of(rows[i]), i);
            }

            return values;
        }
    }
}
