using System.Text.Json;
using System.Text.Json.Nodes;

namespace AgeWatch.Server.Tests.Delivery;

/// <summary>The published vectors in Vectors/delivery-vectors.json.</summary>
internal static class DeliveryVectors
{
    private static readonly JsonNode Sets = JsonNode.Parse(
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Vectors", "delivery-vectors.json")))!["sets"]!;

    public static IReadOnlyList<JsonElement> Cases(string set) =>
        [.. Sets.AsArray()
            .Single(s => (string)s!["id"]! == set)!["cases"]!.AsArray()
            .Select(c => c.Deserialize<JsonElement>())];

    public static string? Text(this JsonElement element, string member) =>
        element.TryGetProperty(member, out var value) ? value.GetString() : null;
}
