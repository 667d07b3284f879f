using System.Globalization;
using System.Text.Json;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>The cases of Vectors/mark-vectors.json; each carries its own published source.</summary>
internal static class MarkVectors
{
    private static readonly JsonElement[] Cases =
        [.. JsonDocument.Parse(File.ReadAllBytes(Path.Combine(
            AppContext.BaseDirectory, "Vectors", "mark-vectors.json")))
            .RootElement.GetProperty("vectors").EnumerateArray()];

    public static JsonElement Case(string id) => Cases.Single(c => c.GetProperty("id").GetString() == id);

    public static IEnumerable<JsonElement> Of(Func<string, bool> convention) =>
        Cases.Where(c => convention(c.GetProperty("convention").GetString()!));

    /// <summary>One row per case: id, then the words that make a test name readable.</summary>
    public static TheoryData<string, string, string> Rows(Func<string, bool> convention)
    {
        var rows = new TheoryData<string, string, string>();
        foreach (var c in Of(convention))
        {
            rows.Add(c.GetProperty("id")
                .GetString()!, c.GetProperty("convention")
                .GetString()!, c.GetProperty("input")
                .ToString());
        }

        return rows;
    }

    public static MarkQuestion Question(JsonElement vector)
    {
        var context = vector.GetProperty("context");
        return new(vector.GetProperty("input").GetString()!)
        {
            Convention = vector.GetProperty("convention").GetString(),
            Observed = Day(context, "observed"),
            NotBefore = Day(context, "notBefore"),
            NotAfter = Day(context, "notAfter"),
            VehicleBuilt = Text(context, "vehicleBuilt") is { } built ? Span(built) : null,
            OriginalEquipment = Truth(context, "originalEquipment"),
            Country = Text(context, "country"),
            Triangle = Truth(context, "triangle"),
            LetterScheme = Text(context, "letterScheme") switch
            {
                null => LetterScheme.Unknown,
                "skip-I" => LetterScheme.SkipI,
                "A-L" => LetterScheme.AToL,
                var other => throw new InvalidDataException(other),
            },
            Role = Text(context, "role") switch
            {
                null => null,
                "expiry" => MarkKind.Expiry,
                "manufacture" => MarkKind.Manufacture,
                var other => throw new InvalidDataException(other),
            },
            TryConventions = context.TryGetProperty("tryConventions", out var tried)
                ? [.. tried.EnumerateArray().Select(t => t.GetString()!)]
                : [],
        };
    }

    public static string? Text(JsonElement parent, string name) =>
        parent.TryGetProperty(name, out var value) ? value.GetString() : null;

    private static DateOnly? Day(JsonElement parent, string name) =>
        Text(parent, name) is { } day ? DateOnly.ParseExact(day, "yyyy-MM-dd") : null;

    private static DateSpan Span(string text) => text.Split('-') switch
    {
        [var year] => DateSpan.Year(int.Parse(year, CultureInfo.InvariantCulture)),
        [var year, var month] =>
            DateSpan.Month(
                int.Parse(year, CultureInfo.InvariantCulture), int.Parse(month, CultureInfo.InvariantCulture)),
        _ => DateSpan.Day(DateOnly.ParseExact(text, "yyyy-MM-dd")),
    };

    private static YesNo Truth(JsonElement parent, string name) =>
        parent.TryGetProperty(name, out var value) ? value.GetBoolean() ? YesNo.Yes : YesNo.No : YesNo.Unknown;
}
