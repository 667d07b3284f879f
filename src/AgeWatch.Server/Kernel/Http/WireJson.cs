using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

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
