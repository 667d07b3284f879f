using System.Collections.Concurrent;
using System.Data.Common;
using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Http;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Diagnostics;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Storing;

/// <summary>
/// The club comes first in every index, and the filter that names it must reach one: no page of a club may cost more
/// because there are other clubs. The judge is SQLite's own plan of each statement that the routes of the document
/// send.
/// </summary>
public sealed class ClubIndexTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task No_read_goes_through_the_rows_of_all_clubs()
    {
        Recorder recorder = new();
        await using var app = await TestApp.StartWithAsync(
            DatabaseKind.Sqlite,
            services => services.ConfigureDbContext<AgeWatchContext>(options => options.AddInterceptors(recorder)),
            null, GivenNights.Idle);
        var car = await app.GivenVehicleAsync();
        var member = await app.GivenMemberAsync("Ann", "ann@club.example");
        Dictionary<string, string> ours = new()
        {
            ["vehicles"] = $"{car}",
            ["components"] = $"{await app.GivenComponent(car, "tyre-road")}",
            ["service-tasks"] = $"{await app.GivenServiceTask(car)}",
            ["members"] = $"{member}",
            ["part-kinds"] = "tyre-road",
        };
        using var owner = await app.GivenKeyAsync("member", member);
        recorder.Statements.Clear();

        foreach (var path in (await app.Read("/openapi/v1.json")).GetProperty("paths").EnumerateObject())
        {
            if (path.Value.TryGetProperty("get", out _))
            {
                var address = string.Join('/', Filled(path.Name.Split('/'), ours));
                Assert.InRange((int)(await app.Officer.Ask(HttpMethod.Get, address)).StatusCode, 200, 499);
                Assert.InRange((int)(await owner.Ask(HttpMethod.Get, address)).StatusCode, 200, 499);
            }
        }

        Assert.InRange((int)(await app.Officer.Ask(HttpMethod.Get, $"/v1/due?memberId={member}")).StatusCode, 200, 299);
        await using var db = app.Database.Open();
        await db.Database.OpenConnectionAsync(Stop);
        List<string> faults = [];
        foreach (var (sql, parameters) in recorder.Statements.DistinctBy(statement => statement.Sql))
        {
            var plan = await PlanAsync((SqliteConnection)db.Database.GetDbConnection(), sql, parameters);
            faults.AddRange(plan.Where(step => IsOverATable(step, plan)).Select(step => $"{step}: {sql}"));
        }

        Assert.True(recorder.Statements.Count > 60, $"{recorder.Statements.Count} statements");
        Assert.Empty(faults);
    }

    // What the statement has made itself is read through by its nature: a page of rows, a list of ids.
    private static bool IsOverATable(string step, List<string> plan) =>
        step.Split(' ') is ["SCAN", var name, ..]
        && !name.StartsWith('(')
        && name != "CONSTANT"
        && !step.Contains("VIRTUAL TABLE", StringComparison.Ordinal)
        && !plan.Contains($"CO-ROUTINE {name}")
        && !plan.Contains($"MATERIALIZE {name}");

    /// <summary>Ids of our own where there is one, and of nothing elsewhere.</summary>
    private static IEnumerable<string> Filled(string[] segments, Dictionary<string, string> ours) =>
        segments.Select((segment, i) => !segment.StartsWith('{') ? segment
            : segment == "{localDate}" ? "2026-11-26"
            : ours.GetValueOrDefault(segments[i - 1]) ?? $"{Guid.Empty}{segment[(segment.IndexOf('}') + 1)..]}");

    private static async Task<List<string>> PlanAsync(
        SqliteConnection connection, string sql, List<(string Name, object? Value)> parameters)
    {
        await using var explain = connection.CreateCommand();
        explain.CommandText = $"EXPLAIN QUERY PLAN {sql}";
        parameters.ForEach(parameter => explain.Parameters.AddWithValue(parameter.Name, parameter.Value));
        List<string> steps = [];
        await using var reader = await explain.ExecuteReaderAsync(Stop);
        while (await reader.ReadAsync(Stop))
        {
            steps.Add(reader.GetString(3));
        }

        return steps;
    }

    private sealed class Recorder : DbCommandInterceptor
    {
        public ConcurrentBag<(string Sql, List<(string Name, object? Value)> Parameters)> Statements { get; } = [];

        public override ValueTask<InterceptionResult<DbDataReader>> ReaderExecutingAsync(
            DbCommand command, CommandEventData eventData, InterceptionResult<DbDataReader> result,
            CancellationToken cancellationToken = default)
        {
            Statements.Add((
                command.CommandText,
                [.. command.Parameters.Cast<DbParameter>().Select(p => (p.ParameterName, p.Value))]));
            return new(result);
        }
    }
}
