using System.Text.Json;

namespace AgeWatch.Core.Tests.Usage;

/// <summary>Worked examples with their sources and tolerances: Vectors/maths-examples.json.</summary>
internal static class MathsExamples
{
    private static readonly JsonElement Examples = JsonDocument.Parse(
        File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Vectors", "maths-examples.json")))
            .RootElement.GetProperty("examples");

    public static (JsonElement Inputs, JsonElement Expected) Get(string name)
    {
        var example = Examples.EnumerateArray().Single(one => one.GetProperty("name").GetString() == name);
        return (example.GetProperty("inputs"), example.GetProperty("expected"));
    }

    public static JsonElement The(this JsonElement element, string name) => element.GetProperty(name);

    public static double Number(this JsonElement element, string name) => element.GetProperty(name).GetDouble();

    public static double[] Numbers(this JsonElement element) =>
        [.. element.EnumerateArray().Select(value => value.GetDouble())];

    public static DateOnly Day(this JsonElement element) => DateOnly.ParseExact(element.GetString()!, "yyyy-MM-dd");

    /// <summary>Equal within a relative tolerance.</summary>
    public static void Near(double expected, double? actual, double relative) =>
        Assert.InRange(
            actual!.Value, expected - Math.Abs(expected) * relative, expected + Math.Abs(expected) * relative);
}
