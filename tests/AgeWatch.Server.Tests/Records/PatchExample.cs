using System.Text.Json;
using System.Text.Json.Nodes;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;

namespace AgeWatch.Server.Tests.Records;

/// <summary>A resource with its members filled, and what a change of each of them is to lead to.</summary>
/// <param name="Route">As the document writes it.</param>
/// <param name="MakeAsync">Gives the address of a filled one.</param>
internal sealed record PatchExample(
    string Route, Func<TestApp, Task<string>> MakeAsync, params IReadOnlyList<PatchMember> Members)
{
    /// <summary>What every change may move along.</summary>
    public IReadOnlyList<string> Moves { get; init; } = ["updatedAt"];

    /// <summary>All that can be seen of the record; what its own address shows unless more is said elsewhere.</summary>
    public Func<TestApp, string, Task<JsonObject>> SeeAsync { get; init; } =
        async (app, address) => JsonObject.Create(await app.Read(address))!;
}

/// <summary>One member of a patch; a slash leads to a member of a member.</summary>
internal sealed record PatchMember(string Name)
{
    /// <summary>A valid value that the example does not have.</summary>
    public required object Other { get; init; }

    /// <summary>What is shown once it has been taken away by null.</summary>
    public object? Without { get; init; }

    /// <summary>Whether the example has a value of its own in it; else another example of the route must.</summary>
    public bool IsFilled { get; init; } = true;

    /// <summary>The code that refuses the other value; null: it is taken.</summary>
    public string? OtherRefused { get; init; }

    /// <summary>The code that refuses null.</summary>
    public string? NullRefused { get; init; }

    /// <summary>Null is taken, and nothing comes of it.</summary>
    public bool NullKeeps { get; init; }

    /// <summary>Where the answer shows it, if not under its own name.</summary>
    public string Place { get; init; } = Name;

    /// <summary>What must follow from a change of this member, wherever it is shown.</summary>
    public IReadOnlyList<string> Follows { get; init; } = [];

    public static PatchMember Optional(string name, object other) => new(name) { Other = other };

    public static PatchMember Required(string name, object other) =>
        new(name) { Other = other, NullRefused = "missing-member" };

    /// <param name="without">What the API says of one who does not say.</param>
    public static PatchMember Defaulted(string name, object other, object without) =>
        new(name) { Other = other, Without = without };

    /// <summary>Settled when the record is made.</summary>
    public static PatchMember Fixed(string name, object other, string code = "fixed") =>
        new(name) { Other = other, OtherRefused = code, NullRefused = "missing-member" };
}

/// <summary>Values in a JSON object by their path; null and absent are the same.</summary>
internal static class JsonPlaces
{
    public static JsonNode? At(this JsonObject json, string path) =>
        path.Split('/').Aggregate((JsonNode?)json, (at, name) => (at as JsonObject)?[name]);

    public static JsonObject With(this JsonObject json, string path, JsonNode? value)
    {
        var result = json.DeepClone().AsObject();
        var names = path.Split('/');
        var at = result;
        foreach (var name in names[..^1])
        {
            at = (at[name] ??= new JsonObject()).AsObject();
        }

        at[names[^1]] = value?.DeepClone();
        return result;
    }

    // Through text, so that a number is the same whichever type it came from.
    public static JsonNode? ToJson(object? value) =>
        JsonNode.Parse(JsonSerializer.Serialize(value, JsonSerializerOptions.Web));

    public static JsonObject WithoutNulls(this JsonObject json)
    {
        JsonObject result = [];
        foreach (var (name, value) in json.Where(member => member.Value is not null))
        {
            result[name] = value is JsonObject inner ? inner.WithoutNulls() : value!.DeepClone();
        }

        return result;
    }
}
