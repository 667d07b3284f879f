using System.Data.Common;
using System.Text;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.EntityFrameworkCore.Storage;

namespace AgeWatch.Storage;

/// <summary>Rows of many tables in one trip to the database.</summary>
/// <remarks>
/// For the few places that read much: what EF's untracked query would read, without its work for each query and row.
/// Columns and types come from the model, and so does the club: only rows of the context's own are read. Add what is
/// wanted, then execute; the lists are filled in their order.
/// </remarks>
public sealed class RowBatch(AgeWatchContext db)
{
    private readonly StringBuilder _sql = new();
    private readonly List<(string Name, object Value)> _parameters = [("club", db.ClubId)];
    private readonly List<Action<DbDataReader>> _fill = [];

    /// <summary>Gives a parameter its value; it is written <c>@name</c>.</summary>
    public RowBatch With(string name, object value)
    {
        _parameters.Add((name, value));
        return this;
    }

    /// <summary>Gives a list to look in; it is written by <see cref="In"/>.</summary>
    public RowBatch With(string name, IReadOnlyCollection<Guid> values) => With(name, db.ListParameter(values));

    /// <summary>What follows a column that must be one of a list.</summary>
    public string In(string name) => db.IsInList(name);

    /// <summary>What follows a column that must be among the ids of those rows of <typeparamref name="T"/>.</summary>
    /// <param name="column">Another column of theirs instead of the id.</param>
    public string InThose<T>(string where, string limit = "", string column = "id")
        where T : class =>
        db.IsInQuery($"SELECT {column} FROM {TableOf<T>().GetTableName()} {Where<T>(where, limit)}");

    /// <summary>All columns of the rows that <paramref name="where"/> lets through, in no order.</summary>
    /// <param name="limit">What follows the condition: ORDER BY and LIMIT.</param>
    public List<T> Rows<T>(string where = "TRUE", string limit = "")
        where T : class => Rows<T, T>(where, limit);

    /// <summary>The columns that <typeparamref name="TSlice"/> has properties for, of the same name and type as those
    /// of <typeparamref name="T"/>.</summary>
    public List<TSlice> Rows<T, TSlice>(string where = "TRUE", string limit = "")
        where T : class
        where TSlice : class
    {
        var table = ReadTable<TSlice>.Of(db, typeof(T));
        List<TSlice> rows = [];
        _sql.Append(table.Select).Append(' ').Append(Where<T>(where, limit)).Append(";\n");
        _fill.Add(reader =>
        {
            while (reader.Read())
            {
                rows.Add(table.Read(reader));
            }
        });
        return rows;
    }

    public async Task ExecuteAsync(CancellationToken stop)
    {
        await db.Database.OpenConnectionAsync(stop);
        try
        {
            await using var command = db.Database.GetDbConnection().CreateCommand();
            command.Transaction = db.Database.CurrentTransaction?.GetDbTransaction();
            command.CommandTimeout = db.Database.GetCommandTimeout() ?? command.CommandTimeout;
            command.CommandText = _sql.ToString();
            foreach (var (name, value) in _parameters)
            {
                var parameter = command.CreateParameter();
                (parameter.ParameterName, parameter.Value) = (name, value);
                command.Parameters.Add(parameter);
            }

            await db.PrepareAsync(command, stop);

            // Once the answer has begun the rest is on its way: waiting for each few rows would cost more than reading
            // them.
            await using var reader = await command.ExecuteReaderAsync(stop);
            foreach (var fill in _fill)
            {
                fill(reader);
                reader.NextResult();
            }
        }
        finally
        {
            await db.Database.CloseConnectionAsync();
        }
    }

    private IEntityType TableOf<T>() => db.Model.FindEntityType(typeof(T))!;

    // In brackets, so that an OR within does not reach past the club.
    private string Where<T>(string where, string limit) =>
        TableOf<T>().FindDeclaredQueryFilter(AgeWatchContext.ClubFilter) is null
            ? $"WHERE {where} {limit}"
            : $"WHERE club_id = @club AND ({where}) {limit}";
}
