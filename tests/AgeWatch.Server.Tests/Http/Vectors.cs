using System.Text.Json;

namespace AgeWatch.Server.Tests.Http;

/// <summary>Published examples; each set in the file names its source.</summary>
internal static class Vectors
{
    private static readonly JsonElement Sets = JsonDocument.Parse(
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Vectors", "interface-vectors.json")))
            .RootElement.GetProperty("sets");

    public static IEnumerable<JsonElement> Cases(string set) =>
        Sets.EnumerateArray().Single(s => s.GetProperty("id").GetString() == set).GetProperty("cases").EnumerateArray();
}
