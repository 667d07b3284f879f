using System.Text.Json;
using System.Text.RegularExpressions;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>The README says what the program does.</summary>
public sealed partial class ReadmeTests
{
    private static readonly string Readme = File.ReadAllText(Repository.PathOf("README.md"));

    [Fact]
    public void The_options_table_is_the_program_s_own() =>
        Assert.Equal(Settings.All.Select(Row), Readme.Split('\n')
            .Where(line => line.StartsWith("| `AGEWATCH_", StringComparison.Ordinal)));

    [Fact]
    public async Task The_answer_shown_is_the_answer_given()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        using var shown = JsonDocument.Parse(Answer().Match(Readme).Groups[1].Value);

        var response = await app.Officer.Ask(HttpMethod.Post, "/v1/calculations/due", Request()
            .Match(Readme)
            .Groups[1]
            .Value);

        Assert.Equal(200, (int)response.StatusCode);
        AssertWithin(shown.RootElement, await response.Json(), "");
    }

    // What is shown may leave members out; what it shows must be so.
    private static void AssertWithin(JsonElement shown, JsonElement given, string path)
    {
        if (shown.ValueKind != JsonValueKind.Object)
        {
            Assert.True(JsonElement.DeepEquals(shown, given), $"{path} is shown as {shown} and given as {given}.");
            return;
        }

        foreach (var member in shown.EnumerateObject())
        {
            AssertWithin(member.Value, given.GetProperty(member.Name), $"{path}/{member.Name}");
        }
    }

    private static string Row(Setting setting) =>
        $"| `{setting.Name}`{(setting.Secret ? " (`_FILE`)" : "")} | "
            + $"{(setting.Default.Length == 0 ? "" : $"`{setting.Default}`")} | {setting.Meaning} |";

    [GeneratedRegex("-d '(.*?)'\n```", RegexOptions.Singleline)]
    private static partial Regex Request();

    [GeneratedRegex("```json\n(.*?)\n```", RegexOptions.Singleline)]
    private static partial Regex Answer();
}
