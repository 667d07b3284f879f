using System.ComponentModel.DataAnnotations;
using System.Reflection;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Http.Metadata;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A query parameter that a route knows; all others are refused, because a misspelt filter would show too
/// much.</summary>
internal sealed record QueryParameter(
    string Name, Type Type, bool IsRequired, IReadOnlyList<ValidationAttribute> Rules, string? Description = null);

/// <summary>The query string read into a record, as strictly as a body. A list may repeat its parameter or part it by
/// commas.</summary>
internal sealed partial class Query<T> : IBindableFromHttpContext<Query<T>>,
    IEndpointParameterMetadataProvider, IRefusable
    where T : class
{
    private static readonly JsonTypeInfo Info = WireJson.Options.GetTypeInfo(typeof(T));

    private readonly T? _value;

    private Query(T? value, Problem? problem) => (_value, Problem) = (value, problem);

    public T Value => _value!;

    public Problem? Problem { get; }

    public static ValueTask<Query<T>?> BindAsync(HttpContext context, ParameterInfo parameter) =>
        ValueTask.FromResult<Query<T>?>(Read(context.Request.Query));

    public static void PopulateMetadata(ParameterInfo parameter, EndpointBuilder builder)
    {
        foreach (var property in Info.Properties)
        {
            builder.Metadata.Add(new QueryParameter(
                property.Name,
                Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType,
                StrictReader.IsRequired(property),
                ValueCheck.RulesOf(property)));
        }
    }

    private static Query<T> Read(IQueryCollection query)
    {
        JsonObject json = [];
        List<FieldError> errors = [];
        foreach (var property in Info.Properties)
        {
            if (!query.TryGetValue(property.Name, out var sent))
            {
                continue;
            }

            var info = WireJson.Options.GetTypeInfo(property.PropertyType);
            if (info.Kind == JsonTypeInfoKind.Enumerable)
            {
                json[property.Name] = new JsonArray([.. sent
                    .SelectMany(value =>
                        value!.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
                    .Select(value => ToJson(value, info.ElementType!))]);
            }
            else if (sent is [{ } only])
            {
                json[property.Name] = ToJson(only, property.PropertyType);
            }
            else
            {
                errors.Add(new("doubled", "May be given once.", Parameter: property.Name));
            }
        }

        if (errors.Count == 0
            && StrictReader.TryRead<T>(JsonSerializer.SerializeToElement(json), errors, out var value))
        {
            ValueCheck.Collect(value, errors);
            if (errors.Count == 0)
            {
                return new(value, null);
            }
        }

        return new(null, Problems.InvalidParameter([.. errors.Select(AsParameter)]));
    }

    private static JsonNode ToJson(string value, Type type)
    {
        var plain = Nullable.GetUnderlyingType(type) ?? type;
        return plain == typeof(bool) && value is "true" or "false" ? JsonValue.Create(value == "true")
            : Type.GetTypeCode(plain) is >= TypeCode.SByte and <= TypeCode.Decimal
                && !plain.IsEnum
                && Number().IsMatch(value) ? JsonNode.Parse(value)!
            : JsonValue.Create(value);
    }

    private static FieldError AsParameter(FieldError error) => error.Pointer is { } pointer
        ? error with
        {
            Pointer = null,
            Parameter = Uri.UnescapeDataString(pointer[(JsonAt.Root.Length + 1)..].Split('/')[0])
        }
        : error;

    [GeneratedRegex(@"\A-?(0|[1-9][0-9]{0,27})(\.[0-9]{1,27})?\z")]
    private static partial Regex Number();
}
