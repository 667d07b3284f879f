using System.Text.Json.Nodes;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>RFC 7396.</summary>
internal static class MergePatch
{
    public const string MediaType = "application/merge-patch+json";

    /// <summary>The algorithm of section 2; neither argument is changed.</summary>
    public static JsonNode? Apply(JsonNode? target, JsonNode? patch)
    {
        if (patch is not JsonObject changes)
        {
            return patch?.DeepClone();
        }

        var result = target is JsonObject old ? old.DeepClone().AsObject() : [];
        foreach (var (name, change) in changes)
        {
            if (change is null)
            {
                result.Remove(name);
            }
            else
            {
                result[name] = Apply(result[name], change);
            }
        }

        return result;
    }
}
