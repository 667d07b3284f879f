using System.Text.Json;
using System.Text.Json.Serialization;

namespace AgeWatch.Server.Kernel.Http;

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
