using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using AgeWatch.Core;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A span of days as people say it: a day, a month or a year; any other span as <c>first/last</c>.</summary>
internal sealed class CalendarSpanConverter : JsonConverter<DateSpan>
{
    public override DateSpan Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && TryRead(reader.GetString()!, out var span)
            ? span
            : throw new JsonException();

    public override void Write(Utf8JsonWriter writer, DateSpan value, JsonSerializerOptions options) =>
        writer.WriteStringValue(Text(value));

    public static string Text(DateSpan span)
    {
        var (first, last) = (span.First, span.Last);
        return span.IsOneDay ? Day(first)
            : span == DateSpan.Month(first.Year, first.Month) ? Day(first)[..7]
            : span == DateSpan.Year(first.Year) ? Day(first)[..4]
            : $"{Day(first)}/{Day(last)}";
    }

    public static bool TryRead(string text, out DateSpan span)
    {
        span = default;
        if (text.Length == 21 && text[10] == '/')
        {
            if (!TryDay(text[..10], out var from) || !TryDay(text[11..], out var until) || until < from)
            {
                return false;
            }

            span = new(from, until);
            return true;
        }

        var padded = text.Length switch
        {
            4 => text + "-01-01",
            7 => text + "-01",
            _ => text,
        };
        if (!TryDay(padded, out var day))
        {
            return false;
        }

        span = text.Length switch
        {
            4 => DateSpan.Year(day.Year),
            7 => DateSpan.Month(day.Year, day.Month),
            _ => DateSpan.Day(day),
        };
        return true;
    }

    private static bool TryDay(string text, out DateOnly day) =>
        DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out day);

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
