using System.Linq.Expressions;
using System.Text.Json;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>
/// The order of a list and the place in it after which a page begins. The last key must be unique within the list.
/// Keys must not be null: the two databases sort nulls at opposite ends. An enum as a key must be stored as its number.
/// </summary>
internal sealed class Keyset<T>
{
    private readonly List<(LambdaExpression Key, bool Down)> _keys = [];

    public Keyset<T> Then<TKey>(Expression<Func<T, TKey>> key) => Add(key, down: false);

    public Keyset<T> ThenDown<TKey>(Expression<Func<T, TKey>> key) => Add(key, down: true);

    public IQueryable<T> Sort(IQueryable<T> rows)
    {
        IOrderedQueryable<T>? sorted = null;
        foreach (var (key, down) in _keys)
        {
            var method = (sorted is null, down) switch
            {
                (true, false) => nameof(Queryable.OrderBy),
                (true, true) => nameof(Queryable.OrderByDescending),
                (false, false) => nameof(Queryable.ThenBy),
                (false, true) => nameof(Queryable.ThenByDescending),
            };
            var source = sorted ?? rows;
            sorted = (IOrderedQueryable<T>)source.Provider.CreateQuery<T>(Expression.Call(
                typeof(Queryable), method, [typeof(T), key.ReturnType], source.Expression, Expression.Quote(key)));
        }

        return sorted ?? rows;
    }

    /// <summary>Rows behind <paramref name="place"/>: k1 &gt;= a and (k1 &gt; a or (k2 &gt;= b and (…))); the outer
    /// bound is what an index can use.</summary>
    /// <exception cref="RefusedException">The place does not fit these keys: it comes from an older
    /// program.</exception>
    public IQueryable<T> After(IQueryable<T> rows, IReadOnlyList<JsonElement> place)
    {
        if (place.Count != _keys.Count)
        {
            throw new RefusedException(Cursor.Refused());
        }

        var row = Expression.Parameter(typeof(T), "row");
        Expression? behind = null;
        for (var i = _keys.Count - 1; i >= 0; i--)
        {
            var (lambda, down) = _keys[i];
            var key = Swap(lambda, row);
            var value = Parameter(ReadKey(place[i], lambda.ReturnType), lambda.ReturnType);
            var past = Compare(down ? ExpressionType.LessThan : ExpressionType.GreaterThan, key, value);
            behind = behind is null ? past : Expression.AndAlso(
                Compare(down ? ExpressionType.LessThanOrEqual : ExpressionType.GreaterThanOrEqual, key, value),
                Expression.OrElse(past, behind));
        }

        return rows.Where(Expression.Lambda<Func<T, bool>>(behind!, row));
    }

    /// <summary>The reply together with its place in the order, in one projection.</summary>
    public Expression<Func<T, Placed<TReply>>> Place<TReply>(Expression<Func<T, TReply>> reply)
    {
        var row = Expression.Parameter(typeof(T), "row");
        var keys = Expression.NewArrayInit(
            typeof(object), _keys.Select(k => Expression.Convert(Swap(k.Key, row), typeof(object))));
        return Expression.Lambda<Func<T, Placed<TReply>>>(
            Expression.New(typeof(Placed<TReply>).GetConstructors()[0], Swap(reply, row), keys), row);
    }

    private static Expression Swap(LambdaExpression lambda, ParameterExpression row) =>
        new Swapper(lambda.Parameters[0], row).Visit(lambda.Body);

    private Keyset<T> Add(LambdaExpression key, bool down)
    {
        _keys.Add((key, down));
        return this;
    }

    private static object ReadKey(JsonElement json, Type type)
    {
        try
        {
            return json.Deserialize(type, WireJson.Options) ?? throw new JsonException();
        }
        catch (JsonException)
        {
            throw new RefusedException(Cursor.Refused());
        }
    }

    private static BinaryExpression Compare(ExpressionType comparison, Expression key, Expression value) =>
        key.Type == typeof(string)
            ? Expression.MakeBinary(
                comparison, Expression.Call(typeof(string), nameof(string.Compare), null, key, value),
                Expression.Constant(0))
            : Expression.MakeBinary(comparison, Number(key), Number(value));

    // An enum has no order of its own.
    private static Expression Number(Expression value) =>
        value.Type.IsEnum ? Expression.Convert(value, Enum.GetUnderlyingType(value.Type)) : value;

    // A member of a captured object becomes a parameter of the SQL, so that its plan can be kept.
    private static MemberExpression Parameter(object value, Type type)
    {
        var box = typeof(Box<>).MakeGenericType(typeof(T), type);
        return Expression.Field(Expression.Constant(Activator.CreateInstance(box, value), box), "Value");
    }

    private sealed class Box<TValue>(TValue value)
    {
        public readonly TValue Value = value;
    }

    private sealed class Swapper(ParameterExpression from, ParameterExpression to) : ExpressionVisitor
    {
        protected override Expression VisitParameter(ParameterExpression node) =>
            node == from ? to : base.VisitParameter(node);
    }
}

internal static class Keyset
{
    public static Keyset<T> By<T, TKey>(Expression<Func<T, TKey>> key) => new Keyset<T>().Then(key);

    public static Keyset<T> Down<T, TKey>(Expression<Func<T, TKey>> key) => new Keyset<T>().ThenDown(key);
}

internal sealed record Placed<TReply>(TReply Reply, object[] Keys);
