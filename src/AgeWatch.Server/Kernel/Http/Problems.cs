using System.Text.Json.Serialization;
using AgeWatch.Core.Records;
using AgeWatch.Storage;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A kind of problem. Its name ends the type URI, which serves a page with <paramref name="Help"/>.</summary>
internal sealed record ProblemType(string Name, int Status, string Title, string Help);

/// <summary>One thing that is wrong with a request; <paramref name="Code"/> is for programs and never changes its
/// meaning.</summary>
/// <param name="Pointer">JSON Pointer into the body, as a URI fragment.</param>
/// <param name="Parameter">The query parameter or header.</param>
internal sealed record FieldError(
    string Code,
    string Detail,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] string? Pointer = null,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] string? Parameter = null);

/// <summary>Every problem the API can answer with.</summary>
internal static class Problems
{
    public static readonly ProblemType MalformedBodyType = new("malformed-body", 400, "The body cannot be read",
        "The body is not JSON, or a member is missing, unknown, doubled, null or of the wrong form. Each entry of "
            + "errors names the member by JSON Pointer.");

    public static readonly ProblemType InvalidParameterType = new("invalid-parameter", 400, "A parameter is not valid",
        "A query parameter or header is unknown or has the wrong form. Each entry of errors names it. A cursor is "
            + "good only for the list and the filters it came with.");

    public static readonly ProblemType BadRequestType = new("bad-request", 400, "The request cannot be understood",
        "The request breaks the rules of HTTP or of this address.");

    public static readonly ProblemType UnauthenticatedType = new("unauthenticated", 401, "A valid key is required",
        "Send a key as \"Authorization: Bearer agw_…\". An unknown, a revoked and an expired key are answered alike. "
            + "Keys are never read from the address.");

    public static readonly ProblemType ForbiddenType = new("forbidden", 403, "The key does not allow this",
        "The key is valid, but its role does not reach this far.");

    public static readonly ProblemType NotFoundType = new("not-found", 404, "There is nothing here",
        "No such address, or no such record in the key's club. A record of another club is answered like one that "
            + "never was.");

    public static readonly ProblemType MethodNotAllowedType = new(
        "method-not-allowed", 405, "The method does not fit the address",
        "The Allow header lists the methods this address knows.");

    public static readonly ProblemType TimeoutType = new("request-timeout", 408, "The request came too slowly",
        "The body did not arrive in time. Send it again.");

    public static readonly ProblemType NotAcceptableType = new("not-acceptable", 406, "No such representation",
        "The Accept header asks only for media types that this address does not offer; available lists those it does.");

    public static readonly ProblemType ConflictType = new("conflict", 409, "The request does not fit the present state",
        "Another record stands in the way, for example one with the same reference, or one that still points here.");

    public static readonly ProblemType GoneType = new("gone", 410, "This is no more",
        "It existed and was removed for good.");

    public static readonly ProblemType PreconditionFailedType = new(
        "precondition-failed", 412, "The record has changed since it was read",
        "The If-Match or If-None-Match header does not fit the present version. Read the record again, repeat the "
            + "change on what it now says, and send its new ETag.");

    public static readonly ProblemType TooLargeType = new("too-large", 413, "The body is too large",
        "The body is larger than this address takes. Nothing was stored.");

    public static readonly ProblemType AddressTooLongType = new("address-too-long", 414, "The address is too long",
        "Path and query together may have 8192 bytes.");

    public static readonly ProblemType UnsupportedMediaTypeType = new(
        "unsupported-media-type", 415, "The body has the wrong media type",
        "Bodies are application/json; changes with PATCH are application/merge-patch+json (RFC 7396). Compressed "
            + "bodies are not taken.");

    public static readonly ProblemType ValidationType = new(
        "validation", 422, "The request was read but cannot be carried out",
        "The body has the right form, but what it says breaks a rule. Each entry of errors names a member by JSON "
            + "Pointer and says why. Nothing was stored.");

    public static readonly ProblemType PreconditionRequiredType = new(
        "precondition-required", 428, "If-Match is required",
        "A change must say which version it changes, so that two people do not undo each other's work. GET the "
            + "record, take its ETag header and send it as If-Match. \"If-Match: *\" changes whatever is there.");

    public static readonly ProblemType TooManyRequestsType = new("too-many-requests", 429, "Too many requests",
        "Wait for as many seconds as Retry-After says.");

    public static readonly ProblemType HeadersTooLargeType = new("headers-too-large", 431, "The headers are too large",
        "All request headers together may have 32768 bytes.");

    public static readonly ProblemType InternalErrorType = new("internal-error", 500, "The server failed",
        "The fault is ours. Nothing half-done was kept. The operator finds the cause in the log under the traceId.");

    public static readonly ProblemType NotReadyType = new("not-ready", 503, "The server is not ready",
        "A check failed; checks says which.");

    public static readonly IReadOnlyList<ProblemType> All =
    [
        MalformedBodyType, InvalidParameterType, BadRequestType, UnauthenticatedType, ForbiddenType, NotFoundType,
        MethodNotAllowedType, NotAcceptableType, TimeoutType, ConflictType, GoneType, PreconditionFailedType,
        TooLargeType,
        AddressTooLongType, UnsupportedMediaTypeType, ValidationType, PreconditionRequiredType, TooManyRequestsType,
        HeadersTooLargeType, InternalErrorType, NotReadyType,
    ];

    // What the framework refuses with an empty answer, by status; 400 without a named field among them.
    private static readonly Dictionary<int, ProblemType> ByStatus =
        All.Except([MalformedBodyType, InvalidParameterType]).ToDictionary(type => type.Status);

    public static Problem NotFound(string detail = "There is no such record.") => new(NotFoundType, detail);

    public static Problem Conflict(string detail) => new(ConflictType, detail);

    /// <summary>The body has the right form but a value cannot stand.</summary>
    /// <param name="pointer">For example <c>#/memberId</c>.</param>
    public static Problem Invalid(string pointer, string code, string detail) => Invalid([new(code, detail, pointer)]);

    public static Problem Invalid(IReadOnlyList<FieldError> errors) =>
        new(ValidationType, Summary(errors)) { Errors = errors };

    /// <summary>A fact told in the body itself; null: nothing refuses it.</summary>
    public static Problem? Refused(IEnumerable<Refusal> refusals) =>
        refusals.At(JsonAt.Root).ToList() is { Count: > 0 } errors ? Invalid(errors) : null;

    public static Problem MalformedBody(string detail) => new(MalformedBodyType, detail);

    public static Problem MalformedBody(IReadOnlyList<FieldError> errors) =>
        new(MalformedBodyType, Summary(errors)) { Errors = errors };

    public static Problem InvalidParameter(string parameter, string code, string detail) =>
        InvalidParameter([new(code, detail, Parameter: parameter)]);

    public static Problem InvalidParameter(IReadOnlyList<FieldError> errors) =>
        new(InvalidParameterType, Summary(errors)) { Errors = errors };

    public static Problem UnsupportedMediaType(string wanted) =>
        new(UnsupportedMediaTypeType, $"Send the body as {wanted}.");

    public static Problem NotAcceptable(IReadOnlyList<string> available) =>
        new(
            NotAcceptableType,
            $"Available here: {string.Join(", ", available)}.")
        { More = { ["available"] = available } };

    public static Problem TooLarge() => new(TooLargeType, TooLargeType.Help);

    public static Problem PreconditionRequired() => new(PreconditionRequiredType, PreconditionRequiredType.Help);

    public static Problem PreconditionFailed(string header) =>
        new(
            PreconditionFailedType,
            PreconditionFailedType.Help)
        {
            Errors = [new(
                "stale", "Does not fit the present version.", Parameter: header)]
        };

    public static Problem OfStatus(int status) => ByStatus.TryGetValue(status, out var type)
        ? new(type, type.Help)
        : new(new("about:blank", status, ReasonPhrases.GetReasonPhrase(status), ""), "The request was refused.");

    /// <summary>What a fault that no handler met is answered with. Its own words stay in the log.</summary>
    public static Problem OfFault(Exception fault) => fault switch
    {
        RefusedException refused => refused.Problem,
        BadHttpRequestException bad => OfStatus(bad.StatusCode),
        DbUpdateConcurrencyException => PreconditionFailed("If-Match"),
        DbUpdateException update when update.IsUniqueViolation() =>
            Conflict("Another record of the club already has this reference, or is otherwise the same."),
        DbUpdateException update when update.IsForeignKeyViolation() =>
            Conflict("A record that this one points to is not there, or another record still points to this one."),
        _ => OfStatus(StatusCodes.Status500InternalServerError),
    };

    private static string Summary(IReadOnlyList<FieldError> errors) => errors is [var only]
        ? $"{only.Pointer ?? only.Parameter}: {only.Detail}"
        : $"{errors.Count} things are wrong; see errors.";
}
