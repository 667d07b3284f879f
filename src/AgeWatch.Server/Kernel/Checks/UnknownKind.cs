using AgeWatch.Core.Catalogue;

namespace AgeWatch.Server.Kernel.Checks;

/// <summary>What is said when the catalogue has no such kind: the kinds that share most words with what was
/// written.</summary>
internal static class UnknownKind
{
    public const string Code = "unknown-part-kind";

    private const int MostNear = 3;
    private const int LeastStem = 3;
    private const int MostEnding = 3;

    public static string Detail(string key) => Near(key) switch
    {
        [] => $"There is no part kind \"{key}\"; GET /v1/part-kinds lists them.",
        var near =>
            $"There is no part kind \"{key}\"; near it: {string.Join(", ", near)}. GET /v1/part-kinds lists them.",
    };

    private static string[] Near(string key)
    {
        var wanted = Words(key);
        return
        [
            .. PartCatalogue.BuiltIn.All
                .Select(kind =>
                    (kind.Key, Shared: Shared(wanted, Words(kind.Key)), InName: Shared(wanted, Words(kind.Name))))
                .Where(near => near.Shared + near.InName > 0)
                .OrderByDescending(near => near.Shared)
                    .ThenByDescending(near => near.InName)
                    .ThenBy(near => near.Key, StringComparer.Ordinal)
                .Take(MostNear).Select(near => near.Key),
        ];
    }

    private static int Shared(string[] wanted, string[] words) =>
        wanted.Count(one => words.Any(other => IsAlike(one, other)));

    // So that tyres find tyre and belt finds belts, but capacity no cap, and "a" nothing.
    private static bool IsAlike(string one, string other) =>
        Math.Min(one.Length, other.Length) >= LeastStem
        && Math.Abs(one.Length - other.Length) <= MostEnding
        && (one.StartsWith(other, StringComparison.Ordinal) || other.StartsWith(one, StringComparison.Ordinal));

    private static string[] Words(string text) => [.. text.ToLowerInvariant().Split(
        [' ', '-', '_', ',', '/', '(', ')'], StringSplitOptions.RemoveEmptyEntries).Distinct()];
}
