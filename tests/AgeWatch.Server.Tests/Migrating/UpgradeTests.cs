using AgeWatch.Server.Tests.Components;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Microsoft.EntityFrameworkCore.Migrations;

namespace AgeWatch.Server.Tests.Migrating;

/// <summary>Data written by the first schema is the same after the upgrade.</summary>
public sealed class UpgradeTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task From_the_first_schema_to_this_one_nothing_is_lost(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync("1987-05");
        var hose = await app.GivenComponent(car, "brake-hose-flexible", new { kind = "document", on = "2019-04-01" });
        await app.GivenComponent(car, "timing-belt");
        await app.GivenServiceTask(car);
        await app.PostOk(
            $"/v1/components/{hose}/limits",
            new { level = "replace-by", tag = "maker", reference = "Manual", from = "manufacture", hours = 100 });
        await using var db = app.Database.Open();
        var before = await RanksAsync(db);
        Assert.Equal(100_000, (await db.Limits.AsNoTracking().SingleAsync(Stop)).Hours);

        await db.GetService<IMigrator>().MigrateAsync("Initial", Stop);
        Assert.Equal(
            [100], await db.Database.SqlQuery<long>($"SELECT hours AS \"Value\" FROM limits").ToListAsync(Stop));
        await db.GetService<IMigrator>().MigrateAsync(cancellationToken: Stop);

        Assert.Equal(100_000, (await db.Limits.AsNoTracking().SingleAsync(Stop)).Hours);
        Assert.Equal(before, await RanksAsync(db));
        Assert.All(before, rank => Assert.NotEqual(0, rank));
    }

    /// <summary>Told as the maker's or as law, and nobody can look it up: it counts as a rule of one's own, is due for
    /// review at once and asks for its source. What has a reference, or never claimed one, stays.</summary>
    [Theory, OnBothDatabases]
    public async Task A_number_without_a_source_becomes_a_rule_of_ones_own(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, ("AGEWATCH_ROLE", "api"));
        var hose = await app.GivenComponent(await app.GivenVehicleAsync());
        foreach (var tag in new[] { "maker", "law", "practice" })
        {
            await app.PostOk(
                $"/v1/components/{hose}/limits",
                new { level = "replace-by", tag, reference = $"Source of {tag}", from = "manufacture", months = 240 });
        }

        await using var db = app.Database.Open();
        await db.GetService<IMigrator>().MigrateAsync("ForceOfAnswers", Stop);
        await db.Database.ExecuteSqlAsync(
            $"UPDATE limits SET reference = CASE WHEN tag = 'Maker' THEN NULL ELSE ' x ' END WHERE tag <> 'Law'", Stop);
        await db.GetService<IMigrator>().MigrateAsync(cancellationToken: Stop);

        var limits = (await app.Read($"/v1/components/{hose}/limits")).Items().ToList();
        Assert.Equal(["law", "own", "practice"], limits.Select(limit => limit.Text("tag")).Order());
        var own = limits.Single(limit => limit.Text("tag") == "own");
        Assert.NotNull(own.Text("reviewOn"));
        Assert.Null(own.Text("reason"));
        var questions = (await app.Read($"/v1/components/{hose}/due")).GetProperty("answer").GetProperty("questions");
        Assert.Contains(
            questions.EnumerateArray(),
            question => question.GetString()!.Contains("With document and place", StringComparison.Ordinal));
    }

    /// <summary>Without the bit of the force, which only a full pass can tell.</summary>
    private static Task<List<long>> RanksAsync(AgeWatchContext db) =>
        db.DueStates.AsNoTracking().OrderBy(s => s.SubjectId).Select(s => s.Rank & ~(1L << 25)).ToListAsync(Stop);
}
