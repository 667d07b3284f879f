using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.RegularExpressions;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>Instants: RFC 3339 with an offset in, UTC with <c>Z</c> out.</summary>
internal sealed partial class InstantConverter : JsonConverter<DateTime>
{
    public override DateTime Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && TryRead(reader.GetString()!, out var instant)
            ? instant
            : throw new JsonException();

    public override void Write(Utf8JsonWriter writer, DateTime value, JsonSerializerOptions options) =>
        writer.WriteStringValue(Text(value));

    public static string Text(DateTime value) =>
        DateTime.SpecifyKind(value, DateTimeKind.Utc)
            .ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", CultureInfo.InvariantCulture);

    /// <summary>A leap second is read as the second that follows it; this calendar has none.</summary>
    public static bool TryRead(string text, out DateTime instant)
    {
        instant = default;
        if (!Form().IsMatch(text))
        {
            return false;
        }

        var leap = text.AsSpan(17, 2) is "60";
        var plain = leap ? string.Concat(text.AsSpan(0, 17), "59", text.AsSpan(19)) : text;
        if (!DateTimeOffset.TryParse(plain, CultureInfo.InvariantCulture, DateTimeStyles.None, out var read))
        {
            return false;
        }

        instant = leap ? read.UtcDateTime.AddSeconds(1) : read.UtcDateTime;
        return true;
    }

    [GeneratedRegex(
        @"\A[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt][0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,7})?([Zz]|[+-][0-9]{2}:[0-9]{2})\z")]
    private static partial Regex Form();
}
