using System.Globalization;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;

namespace AgeWatch.Server.Tests.Records;

/// <summary>One way in for a kind of fact.</summary>
/// <param name="SendAsync">Gives the fact the door's own form; null: the door cannot say this.</param>
/// <param name="Root">Where the fact stands in the body; null: a sheet, where columns are named.</param>
/// <param name="Names">The door's own names, with the plain one of the member; where one name stands for two members,
/// with the code behind it.</param>
internal sealed record Door(
    string Name, Func<TestApp, Fact, Task<HttpResponseMessage?>> SendAsync, string? Root = "#",
    params (string Name, string Member)[] Names)
{
    /// <returns>Taken, or each member that was refused with its code; null: the door cannot say this.</returns>
    public async Task<string?> VerdictAsync(TestApp app, Fact fact)
    {
        if (await SendAsync(app, fact) is not { } response)
        {
            return null;
        }

        var reply = await response.Json();
        var refused = Root is null ? Cells(reply) // A dry run succeeds with a report of what it would refuse.
            : response.IsSuccessStatusCode ? []
            : reply.Errors().Select(error => (Where: MemberAt(error.Where), error.Code));
        return Text(refused.Select(r => (Plain(r.Where, r.Code), r.Code)));
    }

    public static string Text(IEnumerable<(string Member, string Code)> refused) =>
        string.Join(", ", refused.Select(r => string.Create(CultureInfo.InvariantCulture, $"{r.Member} {r.Code}"))
            .Order(StringComparer.Ordinal)) is { Length: > 0 } text
            ? text
            : "taken";

    /// <summary>What would happen to a sheet.</summary>
    public static async Task<HttpResponseMessage?> DryRunAsync(TestApp app, params Dictionary<string, string>[] rows)
    {
        ByteArrayContent body = new(Encoding.UTF8.GetBytes(Fact.Sheet(rows)));
        body.Headers.ContentType = new MediaTypeHeaderValue("text/csv");
        return await app.Officer.PostAsync("/v1/imports?dryRun=true", body, TestContext.Current.CancellationToken);
    }

    public static async Task<HttpResponseMessage?> Calculate(TestApp app, object body) =>
        await app.Post("/v1/calculations/due", body);

    /// <summary>One answer of a walk round a car of which nothing else is recorded.</summary>
    public static async Task<HttpResponseMessage?> WalkAsync(TestApp app, object body) =>
        await app.Post($"/v1/vehicles/{await app.GivenVehicleAsync()}/walk-round", body);

    // The first step below the root: what is deeper is the same member.
    private string MemberAt(string pointer) =>
        pointer == Root ? ""
        : pointer.StartsWith($"{Root}/", StringComparison.Ordinal) ? pointer[(Root!.Length + 1)..].Split('/')[0]
        : pointer;

    private string Plain(string where, string code) =>
        Names.FirstOrDefault(n => n.Name == $"{where} {code}" || n.Name == where).Member ?? where;

    private static IEnumerable<(string Where, string Code)> Cells(JsonElement report) => report.GetProperty("rows")
        .EnumerateArray()
        .Where(row => row.TryGetProperty("errors", out var errors) && errors.ValueKind == JsonValueKind.Array)
        .SelectMany(row => row.GetProperty("errors").EnumerateArray())
        .Select(error => (error.Text("column") ?? "", error.Text("code")!));
}
