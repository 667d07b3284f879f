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

    private static Task<List<long>> RanksAsync(AgeWatchContext db) =>
        db.DueStates.AsNoTracking().OrderBy(s => s.SubjectId).Select(s => s.Rank).ToListAsync(Stop);
}
