using System.Collections.Concurrent;
using System.Data.Common;
using System.Linq.Expressions;
using System.Reflection;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.EntityFrameworkCore.Query;

namespace AgeWatch.Storage;

/// <summary>How rows of a table become objects: by the model's own types and conversions, compiled once a
/// model.</summary>
internal sealed class ReadTable<T>
    where T : class
{
    private static readonly ConcurrentDictionary<(IModel, Type), ReadTable<T>> Known = [];

    private ReadTable(IEntityType entity)
    {
        var row = Expression.Parameter(typeof(DbDataReader), "row");
        List<IProperty> columns = [.. typeof(T).GetProperties(BindingFlags.Public | BindingFlags.Instance)
            .Where(property => property.CanWrite)
            .Select(property =>
                entity.FindProperty(property.Name) is { } column && column.ClrType == property.PropertyType
                ? column
                : throw new InvalidOperationException(
                    $"{entity.DisplayName()} has no column for {typeof(T).Name}.{property.Name}."))];
        Select =
            $"SELECT {string.Join(", ", columns.Select(column => $"\"{column.GetColumnName()}\""))} FROM "
                + $"{entity.GetTableName()}";
        Read = Expression.Lambda<Func<DbDataReader, T>>(
            Expression.MemberInit(
                Expression.New(typeof(T)),
                columns.Select((column, i) =>
                    Expression.Bind(typeof(T).GetProperty(column.Name)!, Value(column, i, row)))),
            row).Compile();
    }

    /// <summary>Without a WHERE.</summary>
    public string Select { get; }

    public Func<DbDataReader, T> Read { get; }

    public static ReadTable<T> Of(AgeWatchContext db, Type entity) =>
        Known.GetOrAdd((db.Model, entity), key => new(key.Item1.FindEntityType(key.Item2)!));

    private static Expression Value(IProperty column, int ordinal, ParameterExpression row)
    {
        var at = Expression.Constant(ordinal);
        var mapping = column.GetRelationalTypeMapping();
        var method = mapping.GetDataReaderMethod();
        var value = mapping.CustomizeDataReaderExpression(
            Expression.Call(method.DeclaringType == typeof(DbDataReader)
                ? row
                : Expression.Convert(row, method.DeclaringType!), method, at));
        if (EnumNames(column) is { } names)
        {
            value = Expression.Call(names, value);
        }
        else if (mapping.Converter is { } converter)
        {
            var from = converter.ConvertFromProviderExpression;
            value = ReplacingExpressionVisitor.Replace(
                from.Parameters[0], As(value, from.Parameters[0].Type), from.Body);
        }

        value = As(value, column.ClrType);
        return column.IsNullable
            ? Expression.Condition(
                Expression.Call(row, nameof(DbDataReader.IsDBNull), null, at), Expression.Default(column.ClrType),
                value)
            : value;
    }

    private static Expression As(Expression value, Type type) =>
        value.Type == type ? value : Expression.Convert(value, type);

    // EF's own conversion parses the name of an enum anew for each row.
    private static MethodInfo? EnumNames(IProperty column) =>
        (Nullable.GetUnderlyingType(column.ClrType) ?? column.ClrType) is { IsEnum: true } type
        && column.GetRelationalTypeMapping().Converter?.ProviderClrType == typeof(string)
            ? typeof(EnumName<>).MakeGenericType(type).GetMethod(nameof(EnumName<>.Read))
            : null;
}

/// <summary>Enums that are stored by name.</summary>
internal static class EnumName<T>
    where T : struct, Enum
{
    private static readonly (string Name, T Value)[] Names = [.. Enum.GetValues<T>()
        .Select(value => (value.ToString(), value))];

    public static T Read(string name)
    {
        foreach (var (known, value) in Names)
        {
            if (known == name)
            {
                return value;
            }
        }

        throw new InvalidOperationException($"A row holds {name}, which is no {typeof(T).Name}.");
    }
}
