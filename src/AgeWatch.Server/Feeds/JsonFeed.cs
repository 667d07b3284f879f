using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace AgeWatch.Server.Feeds;

/// <summary>Writes JSON Feed 1.1 (jsonfeed.org).</summary>
internal static class JsonFeed
{
    public const string ContentType = "application/feed+json";

    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,

        // The feed is read as JSON, never pasted into a page.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public static byte[] Write(string title, Uri? homePage, IEnumerable<CalendarEntry> entries) =>
        JsonSerializer.SerializeToUtf8Bytes(
            new Document(
                "https://jsonfeed.org/version/1.1",
                title,
                homePage?.AbsoluteUri,
                [.. entries.Select(Item.From)]),
            Options);

    private sealed record Document(string Version, string Title, string? HomePageUrl, IReadOnlyList<Item> Items);

    private sealed record Item(
        string Id, string? Url, string Title, string ContentText, DateTime DateModified, IReadOnlyList<string> Tags,
        [property: JsonPropertyName("_agewatch")] DueDay Due)
    {
        public static Item From(CalendarEntry entry) => new(
            entry.Uid, entry.Url?.AbsoluteUri, entry.Summary, entry.Description, entry.ChangedAt.UtcDateTime,
            entry.Categories,
            entry.HasDueDay ? new(entry.Day, null) : new(null, entry.Day));
    }

    /// <summary>An extension in the way the format provides for: a member whose name starts with an
    /// underscore.</summary>
    private sealed record DueDay(DateOnly? DueOn, DateOnly? UnknownSince);
}
