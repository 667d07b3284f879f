using System.Text.Json;
using AgeWatch.Core;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>The names of an enum on the wire: lower-case with hyphens, and no other spelling is read.</summary>
internal static class WireNames
{
    // Units are symbols, not words.
    private static readonly Dictionary<Enum, string> Symbols = new()
    {
        [DistanceUnit.Kilometre] = "km",
        [DistanceUnit.Mile] = "mi",
    };

    public static string Of<T>(T value)
        where T : struct, Enum => Table<T>.Names[value];

    public static bool TryRead<T>(string text, out T value)
        where T : struct, Enum => Table<T>.Values.TryGetValue(text, out value);

    public static IReadOnlyList<string> All(Type type) => [.. Enum.GetValuesAsUnderlyingType(type)
        .Cast<object>().Select(number => NameOf((Enum)Enum.ToObject(type, number))).Distinct()];

    private static string NameOf(Enum value) =>
        Symbols.GetValueOrDefault(value) ?? JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    private static class Table<T>
        where T : struct, Enum
    {
        public static readonly Dictionary<T, string> Names = Enum.GetValues<T>()
            .Distinct()
            .ToDictionary(value => value, value => NameOf(value));

        public static readonly Dictionary<string, T> Values = Names.ToDictionary(pair =>
            pair.Value, pair => pair.Key, StringComparer.Ordinal);
    }
}
