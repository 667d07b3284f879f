using System.ComponentModel.DataAnnotations;
using System.Globalization;
using System.Linq.Expressions;
using System.Reflection;
using System.Text.Json;
using System.Text.Json.Serialization;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>One page of a list. The end is told by the missing <paramref name="Next"/> and by nothing else.</summary>
internal sealed record PageReply<T>(
    IReadOnlyList<T> Items,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] string? Next = null);

/// <summary>A page on its way out, with its Link header (RFC 8288).</summary>
internal sealed class Page<T>(PageReply<T> reply) : IResult, IEndpointMetadataProvider
{
    public Task ExecuteAsync(HttpContext httpContext)
    {
        Reply.SetPrivate(httpContext.Response);
        if (reply.Next is { } next)
        {
            httpContext.Response.Headers.Link = $"<{next}>; rel=\"next\"";
        }

        return Reply.WriteAsync(httpContext.Response, JsonSerializer.SerializeToUtf8Bytes(reply, WireJson.Options));
    }

    public static void PopulateMetadata(MethodInfo method, EndpointBuilder builder) =>
        builder.Metadata.Add(new ProducesResponseTypeMetadata(
            StatusCodes.Status200OK, typeof(PageReply<T>), ["application/json"]));
}

/// <summary>The parameter of every list: <c>limit</c> and <c>cursor</c>, judged before the handler runs.</summary>
internal sealed class PageQuery : IBindableFromHttpContext<PageQuery>, IEndpointParameterMetadataProvider, IRefusable
{
    public const int DefaultLimit = 50;
    public const int MostLimit = 500;

    private readonly HttpContext _http;
    private readonly Cursor _cursor;
    private readonly string _scope;
    private readonly int _limit;
    private readonly JsonElement[]? _after;

    private PageQuery(HttpContext http)
    {
        _http = http;
        _cursor = http.RequestServices.GetRequiredService<Cursor>();
        _scope = ScopeOf(http);
        List<FieldError> errors = [];
        var (limits, cursors) = (http.Request.Query["limit"], http.Request.Query["cursor"]);
        if (limits.Count > 0 && (limits.Count > 1 || !TryLimit(limits[0]!, out _limit)))
        {
            errors.Add(new("wrong-format", "Must be a whole number, not negative.", Parameter: "limit"));
        }

        _limit = _limit == 0 ? DefaultLimit : Math.Min(_limit, MostLimit);
        if (cursors.Count > 0 && (_after = cursors.Count > 1 ? null : _cursor.Read(_scope, cursors[0]!)) is null)
        {
            errors.AddRange(Cursor.Refused().Errors);
        }

        Problem = errors.Count > 0 ? Problems.InvalidParameter(errors) : null;
    }

    public Problem? Problem { get; }

    /// <param name="rows">Already narrowed to the caller's club and to the filters.</param>
    public async Task<Page<TReply>> ReadAsync<TRow, TReply>(
        IQueryable<TRow> rows, Keyset<TRow> order, Expression<Func<TRow, TReply>> reply, CancellationToken stop)
    {
        var from = _after is null ? rows : order.After(rows, _after);
        var placed = await order.Sort(from).Take(_limit + 1).Select(order.Place(reply)).ToListAsync(stop);
        return Cut(placed);
    }

    /// <summary>For lists that are held in memory.</summary>
    public Page<TReply> Read<TRow, TReply>(
        IEnumerable<TRow> rows, Keyset<TRow> order, Expression<Func<TRow, TReply>> reply)
    {
        var all = rows.AsQueryable();
        var from = _after is null ? all : order.After(all, _after);
        return Cut([.. order.Sort(from).Take(_limit + 1).Select(order.Place(reply))]);
    }

    public static ValueTask<PageQuery?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<PageQuery?>(new(context));

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder)
    {
        builder.Metadata.Add(new QueryParameter(
            "limit", typeof(int), IsRequired: false, [new RangeAttribute(0, int.MaxValue)],
            $"Most items on the page: 0 or absent is {DefaultLimit}, more than {MostLimit} is {MostLimit}."));
        builder.Metadata.Add(new QueryParameter(
            "cursor", typeof(string), IsRequired: false, [new StringLengthAttribute(4000)],
            "Where the page begins, from next of the page before; good only with the same filters."));
    }

    private Page<TReply> Cut<TReply>(List<Placed<TReply>> placed) => new(new(
        [.. placed.Take(_limit).Select(item => item.Reply)],
        placed.Count > _limit ? NextAddress(placed[_limit - 1].Keys) : null));

    private string NextAddress(object[] place)
    {
        var query = QueryString.Create(_http.Request.Query.Where(pair => pair.Key != "cursor")
            .SelectMany(pair => pair.Value.Select(value => KeyValuePair.Create(pair.Key, value)))
            .Append(KeyValuePair.Create("cursor", (string?)_cursor.Write(_scope, place))));
        return _http.BaseAddress() + _http.Request.Path.ToUriComponent() + query.ToUriComponent();
    }

    private static bool TryLimit(string text, out int limit)
    {
        // A limit beyond any number of ours is still only too large.
        if (text.Length > 9 && text.All(char.IsAsciiDigit))
        {
            limit = MostLimit;
            return true;
        }

        return int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out limit);
    }

    private static string ScopeOf(HttpContext http) => string.Join('\n', http.Request.Query
        .Where(pair => pair.Key is not ("cursor" or "limit"))
        .OrderBy(pair => pair.Key, StringComparer.Ordinal)
        .Select(pair => $"{Uri.EscapeDataString(pair.Key)}={string.Join('&', pair.Value.Select(value => Uri.EscapeDataString(value ?? "")))}")
        .Prepend(http.Request.Path.Value ?? "")
        .Prepend(http.Features.Get<Caller>()?.ClubId.ToString() ?? ""));
}
