using System.Reflection;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.Net.Http.Headers;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>Answers that carry an entity tag.</summary>
internal static class Reply
{
    /// <summary>One row; its version makes the tag. On GET it answers 304 and 412 by itself.</summary>
    public static Tagged<T> Of<T>(IVersioned row, T body) => new(body, EntityTag.Of(row));

    /// <summary>A computed answer; its bytes make the tag.</summary>
    public static Tagged<T> Of<T>(T body) => new(body, null);

    /// <param name="path">From the root, such as <c>/v1/vehicles/…</c>.</param>
    public static TaggedCreated<T> Created<T>(string path, IVersioned row, T body) =>
        new(path, body, EntityTag.Of(row), isSecret: false);

    /// <summary>As <see cref="Created{T}(string, IVersioned, T)"/>, for a body that shows a secret this once: no cache
    /// may keep it.</summary>
    public static TaggedCreated<T> CreatedSecret<T>(string path, IVersioned row, T body) =>
        new(path, body, EntityTag.Of(row), isSecret: true);

    /// <inheritdoc cref="Of{T}(T)"/>
    public static TaggedCreated<T> Created<T>(string path, T body) => new(path, body, null, isSecret: false);

    /// <summary>A member's data: a private cache may keep it but must ask each time.</summary>
    public static void SetPrivate(HttpResponse response)
    {
        response.Headers.CacheControl = "private, no-cache";
        response.Headers.Vary = "Accept, Authorization";
    }

    public static Task WriteAsync(HttpResponse response, ReadOnlyMemory<byte> json)
    {
        response.ContentType = "application/json; charset=utf-8";
        response.ContentLength = json.Length;
        return response.BodyWriter.WriteAsync(json, response.HttpContext.RequestAborted).AsTask();
    }
}

internal sealed class Tagged<T>(T body, EntityTag? tag) : IResult, IEndpointMetadataProvider
{
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        using var early = tag is null ? JsonBytes.Of(body) : null;
        var current = tag ?? EntityTag.Of(early!.Memory.Span);
        if (IsRead(httpContext.Request.Method) && Judge(httpContext.Request.Headers, current) is { } problem)
        {
            await problem.ExecuteAsync(httpContext);
            return;
        }

        response.Headers.ETag = current.ToString();
        Reply.SetPrivate(response);
        if (IsRead(httpContext.Request.Method) && IsKnown(httpContext.Request.Headers, current))
        {
            response.StatusCode = StatusCodes.Status304NotModified;
            return;
        }

        using var late = early is null ? JsonBytes.Of(body) : null;
        await Reply.WriteAsync(response, (early ?? late!).Memory);
    }

    public static void PopulateMetadata(MethodInfo method, EndpointBuilder builder)
    {
        builder.Metadata.Add(new ProducesResponseTypeMetadata(
            StatusCodes.Status200OK, typeof(T), ["application/json"]));
        builder.Metadata.Add(new SendsEntityTag());
    }

    private static bool IsRead(string method) => HttpMethods.IsGet(method) || HttpMethods.IsHead(method);

    private static Problem? Judge(IHeaderDictionary headers, EntityTag current) =>
        headers.IfMatch.Count > 0 && !TagList.TryRead(headers.IfMatch, out _) ? IfMatch.Malformed(HeaderNames.IfMatch)
        : headers.IfNoneMatch.Count > 0
            && !TagList.TryRead(headers.IfNoneMatch, out _) ? IfMatch.Malformed(HeaderNames.IfNoneMatch)
        : TagList.TryRead(headers.IfMatch, out var wanted)
            && !wanted.Holds(current) ? Problems.PreconditionFailed(HeaderNames.IfMatch)
        : null;

    private static bool IsKnown(IHeaderDictionary headers, EntityTag current) =>
        TagList.TryRead(headers.IfNoneMatch, out var known) && known.HoldsWeakly(current);
}

internal sealed class TaggedCreated<T>(string path, T body, EntityTag? tag, bool isSecret)
    : IResult, IEndpointMetadataProvider
{
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        using var json = JsonBytes.Of(body);
        response.StatusCode = StatusCodes.Status201Created;
        response.Headers.Location = httpContext.BaseAddress() + path;
        response.Headers.ETag = (tag ?? EntityTag.Of(json.Memory.Span)).ToString();
        if (isSecret)
        {
            response.Headers.CacheControl = "no-store";
        }
        else
        {
            Reply.SetPrivate(response);
        }

        await Reply.WriteAsync(response, json.Memory);
    }

    public static void PopulateMetadata(MethodInfo method, EndpointBuilder builder)
    {
        builder.Metadata.Add(new ProducesResponseTypeMetadata(
            StatusCodes.Status201Created, typeof(T), ["application/json"]));
        builder.Metadata.Add(new SendsEntityTag());
    }
}

/// <summary>The route's success carries ETag; the document says so.</summary>
internal sealed class SendsEntityTag;
