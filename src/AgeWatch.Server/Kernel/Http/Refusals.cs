using System.Text.Json;
using AgeWatch.Core.Records;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>Where a refused member stands in a body.</summary>
internal static class Refusals
{
    /// <param name="at">JSON Pointer of the object that told the fact.</param>
    /// <param name="nameOf">Its own name for a member of the record; null: the member's name in camel case.</param>
    public static IEnumerable<FieldError> At(
        this IEnumerable<Refusal> refusals, string at, Func<string, string>? nameOf = null) =>
        refusals.Select(refusal => new FieldError(refusal.Code, refusal.Detail, Pointer(refusal, at, nameOf)));

    private static string Pointer(Refusal refusal, string at, Func<string, string>? nameOf)
    {
        if (refusal.Member.Length == 0)
        {
            return at;
        }

        var member = JsonAt.Member(
            at, nameOf?.Invoke(refusal.Member) ?? JsonNamingPolicy.CamelCase.ConvertName(refusal.Member));
        return refusal.Index is { } index ? JsonAt.Item(member, index) : member;
    }
}
