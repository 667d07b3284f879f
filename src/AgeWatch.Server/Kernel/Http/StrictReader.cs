using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using AgeWatch.Core;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>
/// Reads JSON into a wire record and names every member that does not fit. The serializer alone stops at the
/// first fault and often cannot say where it was.
/// </summary>
internal static class StrictReader
{
    // Enough to mend a body by; a hostile one must not earn a longer answer than it is.
    public const int MostErrors = 50;

    /// <returns>False when <paramref name="errors"/> has something to say about the shape.</returns>
    public static bool TryRead<T>(JsonElement json, List<FieldError> errors, out T value)
    {
        var type = WireJson.Options.GetTypeInfo(typeof(T));
        Check(json, type, JsonAt.Root, errors);
        if (errors.Count > 0)
        {
            value = default!;
            return false;
        }

        try
        {
            value = (T)json.Deserialize(type)!;
            return true;
        }
        catch (Exception fault) when (IsMisread(fault))
        {
            errors.Add(new("wrong-format", "The body does not have the form of this request.", Pointer: JsonAt.Root));
            value = default!;
            return false;
        }
    }

    /// <summary>Doubled or unreadable member names anywhere in a body that is not yet a record.</summary>
    public static void CheckNames(JsonElement json, List<FieldError> errors, string at = JsonAt.Root)
    {
        if (json.ValueKind == JsonValueKind.Object)
        {
            foreach (var member in Members(json, at, errors))
            {
                CheckNames(member.Value, errors, JsonAt.Member(at, member.Name));
            }
        }
        else if (json.ValueKind == JsonValueKind.Array)
        {
            foreach (var (index, item) in json.EnumerateArray().Index())
            {
                CheckNames(item, errors, JsonAt.Item(at, index));
            }
        }
        else if (json.ValueKind == JsonValueKind.String)
        {
            CheckLeaf(json, WireJson.Options.GetTypeInfo(typeof(string)), at, errors);
        }
    }

    private static void Check(JsonElement json, JsonTypeInfo type, string at, List<FieldError> errors)
    {
        if (errors.Count >= MostErrors)
        {
            return;
        }

        switch (type.Kind)
        {
            case JsonTypeInfoKind.Object when json.ValueKind != JsonValueKind.Object:
                errors.Add(new("wrong-type", "Must be an object.", at));
                break;

            case JsonTypeInfoKind.Object:
                CheckMembers(json, type, at, errors);
                break;

            case JsonTypeInfoKind.Enumerable when json.ValueKind != JsonValueKind.Array:
                errors.Add(new("wrong-type", "Must be an array.", at));
                break;

            case JsonTypeInfoKind.Enumerable:
                var element = WireJson.Options.GetTypeInfo(type.ElementType!);
                foreach (var (index, item) in json.EnumerateArray().Index())
                {
                    CheckPresent(item, element, mayBeNull: false, JsonAt.Item(at, index), errors);
                }

                break;

            case JsonTypeInfoKind.Dictionary when json.ValueKind != JsonValueKind.Object:
                errors.Add(new("wrong-type", "Must be an object.", at));
                break;

            case JsonTypeInfoKind.Dictionary:
                var valueType = WireJson.Options.GetTypeInfo(type.ElementType!);
                foreach (var member in Members(json, at, errors))
                {
                    CheckPresent(member.Value, valueType, mayBeNull: false, JsonAt.Member(at, member.Name), errors);
                }

                break;

            default:
                CheckLeaf(json, type, at, errors);
                break;
        }
    }

    private static void CheckMembers(JsonElement json, JsonTypeInfo type, string at, List<FieldError> errors)
    {
        HashSet<string> seen = new(StringComparer.Ordinal);
        foreach (var member in Members(json, at, errors).TakeWhile(_ => errors.Count < MostErrors))
        {
            seen.Add(member.Name);
            var here = JsonAt.Member(at, member.Name);
            if (type.Properties.FirstOrDefault(property => property.Name == member.Name) is not { } property
                || (property.Set is null && property.AssociatedParameter is null))
            {
                errors.Add(new(
                    "unknown-member", $"There is no such member here. Known: {string.Join(", ", Writable(type))}.",
                    here));
                continue;
            }

            CheckPresent(
                member.Value, WireJson.Options.GetTypeInfo(property.PropertyType), MayBeNull(property), here, errors);
        }

        errors.AddRange(type.Properties
            .Where(property => IsRequired(property) && !seen.Contains(property.Name))
            .Select(property =>
                new FieldError("missing-member", "This member is required.", JsonAt.Member(at, property.Name))));
    }

    private static void CheckPresent(
        JsonElement json, JsonTypeInfo type, bool mayBeNull, string at, List<FieldError> errors)
    {
        if (json.ValueKind != JsonValueKind.Null)
        {
            Check(json, type, at, errors);
        }
        else if (!mayBeNull)
        {
            errors.Add(new("null-not-allowed", "Must not be null; leave the member out when it is optional.", at));
        }
    }

    private static void CheckLeaf(JsonElement json, JsonTypeInfo type, string at, List<FieldError> errors)
    {
        try
        {
            _ = json.Deserialize(type);
            if (json.ValueKind == JsonValueKind.String && json.GetString()!.Any(IsForbidden))
            {
                errors.Add(new("control-character", "Must not hold control characters.", at));
            }
        }
        catch (Exception fault) when (IsMisread(fault))
        {
            var plain = Nullable.GetUnderlyingType(type.Type) ?? type.Type;
            var (code, detail) = Expectation(plain);
            errors.Add(new(FitsKind(json, plain) ? code : "wrong-type", detail, at));
        }
    }

    private static List<JsonProperty> Members(JsonElement json, string at, List<FieldError> errors)
    {
        HashSet<string> seen = new(StringComparer.Ordinal);
        List<JsonProperty> members = [];
        foreach (var member in json.EnumerateObject())
        {
            string name;
            try
            {
                name = member.Name;
            }
            catch (InvalidOperationException)
            {
                errors.Add(new("wrong-format", "A member's name is not valid text.", at));
                continue;
            }

            if (seen.Add(name))
            {
                members.Add(member);
            }
            else
            {
                errors.Add(new("duplicate-member", "This member stands here twice.", JsonAt.Member(at, name)));
            }

            if (errors.Count >= MostErrors)
            {
                break;
            }
        }

        return members;
    }

    public static bool IsRequired(JsonPropertyInfo property) =>
        property.IsRequired || property.AssociatedParameter is { HasDefaultValue: false };

    public static bool MayBeNull(JsonPropertyInfo property) =>
        property.PropertyType.IsValueType
            ? Nullable.GetUnderlyingType(property.PropertyType) is not null
            : property.AssociatedParameter?.IsNullable ?? property.IsSetNullable;

    private static IEnumerable<string> Writable(JsonTypeInfo type) => type.Properties
        .Where(property => property.Set is not null || property.AssociatedParameter is not null)
        .Select(property => property.Name);

    // Tabs and line ends may stand in notes; the rest can only be meant to confuse a terminal, a log or a database.
    private static bool IsForbidden(char c) => char.IsControl(c) && c is not ('\t' or '\n' or '\r');

    private static bool IsMisread(Exception fault) =>
        fault is JsonException or InvalidOperationException or FormatException or NotSupportedException
            or ArgumentException or OverflowException;

    private static bool FitsKind(JsonElement json, Type type) => json.ValueKind switch
    {
        JsonValueKind.String => !IsNumber(type) && type != typeof(bool),
        JsonValueKind.Number => IsNumber(type),
        JsonValueKind.True or JsonValueKind.False => type == typeof(bool),
        _ => false,
    };

    private static bool IsNumber(Type type) =>
        IsWhole(type) || type == typeof(decimal) || type == typeof(double) || type == typeof(float);

    private static bool IsWhole(Type type) => type == typeof(int) || type == typeof(long) || type == typeof(short);

    public static (string Code, string Detail) Expectation(Type type) =>
        type.IsEnum ? ("unknown-value", $"Must be one of: {string.Join(", ", WireNames.All(type))}.")
        : IsWhole(type) ? ("wrong-format", "Must be a whole number within range.")
        : IsNumber(type) ? ("wrong-format", "Must be a number within range.")
        : type == typeof(bool) ? ("wrong-format", "Must be true or false.")
        : type == typeof(DateOnly) ? ("wrong-format", "Must be a day of the calendar written YYYY-MM-DD.")
        : type == typeof(DateTime) ? (
            "wrong-format", "Must be an instant with its offset, such as 2026-11-25T03:30:00Z.")
        : type == typeof(DateSpan) ? ("wrong-format", "Must be a day (YYYY-MM-DD), a month (YYYY-MM) or a year (YYYY).")
        : type == typeof(Guid) ? ("wrong-format", "Must be a UUID.")
        : ("wrong-format", "Must be text.");
}

/// <summary>JSON Pointers as URI fragments (RFC 6901 section 6).</summary>
internal static class JsonAt
{
    public const string Root = "#";

    public static string Member(string at, string name) => $"{at}/{Uri.EscapeDataString(
        name.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal))}";

    public static string Item(string at, int index) => $"{at}/{index}";
}
