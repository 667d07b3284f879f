using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using System.Text.RegularExpressions;
using AgeWatch.Core;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>How the API writes and reads JSON, said once.</summary>
internal static class WireJson
{
    public static readonly JsonSerializerOptions Options = MakeOptions();

    public static void Configure(JsonSerializerOptions options)
    {
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.DictionaryKeyPolicy = null;
        options.PropertyNameCaseInsensitive = false;
        options.NumberHandling = JsonNumberHandling.Strict;
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.RespectNullableAnnotations = true;
        options.RespectRequiredConstructorParameters = true;
        options.AllowDuplicateProperties = false;
        options.MaxDepth = 64;

        // Names keep their letters and quotes their form; no reply is ever read as HTML (nosniff).
        options.Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping;
        options.TypeInfoResolver = (options.TypeInfoResolver ?? new DefaultJsonTypeInfoResolver())
            .WithAddedModifier(OptionalMembersAttribute.Apply);
        options.Converters.Add(new EnumNameConverterFactory());
        options.Converters.Add(new InstantConverter());
        options.Converters.Add(new CalendarSpanConverter());
    }

    private static JsonSerializerOptions MakeOptions()
    {
        JsonSerializerOptions options = new(JsonSerializerDefaults.Web);
        Configure(options);
        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }
}

internal sealed class EnumNameConverterFactory : JsonConverterFactory
{
    public override bool CanConvert(Type typeToConvert) => typeToConvert.IsEnum;

    public override JsonConverter CreateConverter(Type typeToConvert, JsonSerializerOptions options) =>
        (JsonConverter)Activator.CreateInstance(typeof(EnumNameConverter<>).MakeGenericType(typeToConvert))!;

    private sealed class EnumNameConverter<T> : JsonConverter<T>
        where T : struct, Enum
    {
        public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            reader.TokenType == JsonTokenType.String && WireNames.TryRead<T>(reader.GetString()!, out var value)
                ? value
                : throw new JsonException();

        public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) =>
            writer.WriteStringValue(WireNames.Of(value));

        public override T ReadAsPropertyName(
            ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            WireNames.TryRead<T>(reader.GetString()!, out var value) ? value : throw new JsonException();

        public override void WriteAsPropertyName(Utf8JsonWriter writer, T value, JsonSerializerOptions options) =>
            writer.WritePropertyName(WireNames.Of(value));
    }
}

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
