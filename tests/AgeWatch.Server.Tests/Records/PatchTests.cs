using System.Text.Json;
using System.Text.Json.Nodes;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Records;

/// <summary>
/// RFC 7396: a member that a patch leaves out stays as it is. Held for every PATCH that the document lists and every
/// member of it: sent alone with another value and with null, it changes itself, what must follow, and nothing else.
/// </summary>
public sealed class PatchTests
{
    [Theory, OnBothDatabases]
    public async Task Sending_one_member_changes_that_one_only(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        List<string> faults = [];
        foreach (var example in PatchExamples.All)
        {
            faults.AddRange(await FaultsOfAsync(app, example));
        }

        Assert.True(faults.Count == 0, string.Join('\n', faults));
    }

    /// <summary>A new PATCH, or a new member of one, needs its place in the examples.</summary>
    [Fact]
    public async Task Every_patch_of_the_document_and_every_member_has_an_example()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        var documented = (await app.Read("/openapi/v1.json")).GetProperty("paths").EnumerateObject()
            .Where(path => path.Value.TryGetProperty("patch", out _))
            .SelectMany(path => path.Value.GetProperty("patch").GetProperty("requestBody").GetProperty("content")
                .GetProperty("application/merge-patch+json").GetProperty("schema").GetProperty("properties")
                .EnumerateObject()
                .Select(member => (Name: $"{path.Name} {member.Name}", Schema: member.Value)))
            .OrderBy(member => member.Name, StringComparer.Ordinal)
            .ToList();
        var names = documented.Select(member => member.Name);

        Assert.NotEmpty(documented);
        Assert.Equal(names, Distinct(PatchExamples.All, member => true));
        Assert.Equal(names, Distinct(PatchExamples.All, member => member.IsFilled));
        Assert.Empty(Distinct(PatchExamples.All, member => member is { NullRefused: null, Without: null })
            .Except(documented.Where(member => AdmitsNull(member.Schema)).Select(member => member.Name)));

        static IEnumerable<string> Distinct(IEnumerable<PatchExample> examples, Func<PatchMember, bool> which) =>
            examples.SelectMany(example => example.Members.Where(which)
                .Select(member => $"{example.Route} {member.Name.Split('/')[0]}"))
            .Distinct()
            .Order(StringComparer.Ordinal);

        static bool AdmitsNull(JsonElement schema) =>
            schema.GetProperty("type") is { ValueKind: JsonValueKind.Array } types
            && types.EnumerateArray().Any(type => type.ValueEquals("null"));
    }

    private static async Task<List<string>> FaultsOfAsync(TestApp app, PatchExample example)
    {
        List<string> faults = [];
        var address = await example.MakeAsync(app);
        foreach (var member in example.Members)
        {
            var before = await SeeAsync();
            var value = before.At(member.Place);
            if (member.IsFilled && (value is null || JsonNode.DeepEquals(value, JsonPlaces.ToJson(member.Without))))
            {
                faults.Add($"{example.Route} {member.Name}: the example has no value of its own: {value}");
                continue;
            }

            var other = JsonPlaces.ToJson(member.Other);
            await TryAsync(member, other, other, member.OtherRefused, before);
            if (member.OtherRefused is null)
            {
                await TryAsync(member, value, value, null, before);
            }

            var without = member.NullKeeps ? value : JsonPlaces.ToJson(member.Without);
            await TryAsync(member, null, without, member.NullRefused, await SeeAsync());
            if (member is { NullRefused: null, NullKeeps: false })
            {
                await TryAsync(member, value, value, null, before);
            }
        }

        return faults;

        async Task<JsonObject> SeeAsync() => (await example.SeeAsync(app, address)).WithoutNulls();

        async Task TryAsync(PatchMember member, JsonNode? sent, JsonNode? shown, string? refused, JsonObject before)
        {
            app.Clock.Advance(TimeSpan.FromSeconds(1)); // So that an instant written anew is seen.
            var response = await app.Officer.Ask(
                HttpMethod.Patch, address, Patch(member, sent).ToJsonString(), ifMatch: "*");
            address = response.Content.Headers.ContentLocation?.OriginalString ?? address;
            var answer = JsonNode.Parse(await response.Content.ReadAsStringAsync())!.AsObject();
            var after = await SeeAsync();
            var expected = before;
            if (refused is null)
            {
                IEnumerable<string> moved = [.. member.Follows, .. example.Moves];
                expected = moved.Aggregate(
                    before.With(member.Place, shown), (json, path) => json.With(path, after.At(path))).WithoutNulls();
            }

            var codes = answer["errors"]?.AsArray().Select(error => error!["code"]!.GetValue<string>()) ?? [];
            if ((refused is null) != response.IsSuccessStatusCode || (refused is not null && !codes.Contains(refused)))
            {
                faults.Add($"{example.Route} {member.Name} = {Written(sent)}: answered {answer.ToJsonString()}");
            }
            else if (!JsonNode.DeepEquals(expected, after))
            {
                faults.Add($"{example.Route} {member.Name} = {Written(sent)}: {string.Join(", ", expected.Concat(after)
                    .Select(pair => pair.Key).Distinct()
                    .Where(name => !JsonNode.DeepEquals(expected[name], after[name]))
                    .Select(name => $"{name} is {Written(after[name])}, not {Written(expected[name])}"))}");
            }
        }
    }

    private static JsonObject Patch(PatchMember member, JsonNode? value) => member.Name.Split('/').Reverse()
        .Aggregate(value?.DeepClone(), (inner, name) => new JsonObject { [name] = inner })!.AsObject();

    private static string Written(JsonNode? value) => value?.ToJsonString() ?? "null";
}
