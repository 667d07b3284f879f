using System.Reflection;
using AgeWatch.Core;
using AgeWatch.Server.Tests.Architecture;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Storing;

/// <summary>A context works in the rows of one club. That each query finds those alone, RowBatchTests show table by
/// table.</summary>
public sealed class ClubScopeTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Without_a_club_no_tenants_row_is_read_changed_or_removed(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.GivenVehicleAsync();
        await using var scope = app.Services.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();

        var tables = db.Model.GetEntityTypes().Where(IsTenants).ToList();
        Assert.NotEmpty(tables);
        foreach (var table in tables)
        {
            var fault = await Assert.ThrowsAsync<ClubScopeException>(() => (Task)Method(nameof(ReadAsync))
                .MakeGenericMethod(table.ClrType).Invoke(null, [db])!);
            Assert.Contains("No club", fault.Message, StringComparison.Ordinal);
        }

        await Assert.ThrowsAsync<ClubScopeException>(() => db.Vehicles.ExecuteUpdateAsync(
            set => set.SetProperty(v => v.Name, "x"), Stop));
        await Assert.ThrowsAsync<ClubScopeException>(() => db.Vehicles.ExecuteDeleteAsync(Stop));
        Assert.Throws<ClubScopeException>(() => new RowBatch(db));
        Assert.Equal(1, await db.Vehicles.AcrossClubs().CountAsync(v => v.Name == "Test car", Stop));
    }

    [Theory, OnBothDatabases]
    public async Task A_query_finds_and_changes_the_rows_of_its_club(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        var car = await app.GivenVehicleAsync();
        var others = await GivenClubAsync(app);
        await using var db = app.Database.Open(others);

        // Inside a join and a subquery too.
        Assert.False(await db.Vehicles.AnyAsync(Stop));
        Assert.Empty(await db.Clubs.Select(c => db.Vehicles.Count()).Where(count => count > 0).ToListAsync(Stop));
        Assert.Empty(await db.Clubs.SelectMany(_ => db.Vehicles).ToListAsync(Stop));
        Assert.Null(await db.Vehicles.FindAsync([await app.Database.ClubIdAsync(), car], Stop));
        Assert.Equal(0, await db.Vehicles.ExecuteUpdateAsync(set => set.SetProperty(v => v.Name, "x"), Stop));
        Assert.Equal(0, await db.Vehicles.ExecuteDeleteAsync(Stop));
        await using var mine = app.Database.Open();
        Assert.Equal("Test car", await mine.Vehicles.Select(v => v.Name).SingleAsync(Stop));
    }

    [Theory, OnBothDatabases]
    public async Task A_row_of_another_club_is_not_saved(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind);
        await app.GivenVehicleAsync();
        var others = await GivenClubAsync(app);
        await using var db = app.Database.Open(others);

        var theirs = await db.Vehicles.AcrossClubs().SingleAsync(Stop);
        theirs.Name = "x";
        await Assert.ThrowsAsync<ClubScopeException>(() => db.SaveChangesAsync(Stop));
        db.Remove(theirs);
        Assert.Throws<ClubScopeException>(() => db.SaveChanges());
        db.ChangeTracker.Clear();
        var added = Car(await app.Database.ClubIdAsync());
        db.Add(added);
        await Assert.ThrowsAsync<ClubScopeException>(() => db.SaveChangesAsync(Stop));
        db.ChangeTracker.Clear();
        await Assert.ThrowsAsync<ClubScopeException>(() => db.PutAsync([Car(others), added], Stop));

        var first = await app.Database.ClubIdAsync();
        await Assert.ThrowsAsync<ClubScopeException>(() => db.LockAsync(first, [null], Stop));
        await Assert.ThrowsAsync<ClubScopeException>(() => db.TakeSequenceAsync(first, ClubCounter.Events, 1, Stop));

        await db.PutAsync([Car(others)], Stop);
        Assert.Equal(1, await db.Vehicles.CountAsync(Stop));
        await using var mine = app.Database.Open();
        Assert.Equal("Test car", await mine.Vehicles.Select(v => v.Name).SingleAsync(Stop));
    }

    [Fact]
    public async Task No_other_club_is_entered_with_rows_in_hand()
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite);
        await app.GivenVehicleAsync();
        var others = await GivenClubAsync(app);
        await using var db = app.Database.Open();
        await db.Vehicles.LoadAsync(Stop);

        Assert.Throws<ClubScopeException>(() => db.EnterClub(others));

        db.ChangeTracker.Clear();
        db.EnterClub(others);
        Assert.Equal(others, db.ClubId);
    }

    /// <summary>The program's own pool, and both ways in which a request can end.</summary>
    [Theory, InlineData(true), InlineData(false)]
    public async Task A_context_that_is_used_again_has_left_its_club(bool isAsync)
    {
        await using var app = await TestApp.StartAsync(DatabaseKind.Sqlite, null, ("AGEWATCH_ROLE", "api"));
        HashSet<AgeWatchContext> seen = [];
        for (var round = 0; round < 20; round++)
        {
            var scope = app.Services.CreateAsyncScope();
            var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
            seen.Add(db);
            Assert.Throws<ClubScopeException>(() => db.ClubId);
            db.EnterClub(Guid.CreateVersion7());
            if (isAsync)
            {
                await scope.DisposeAsync();
            }
            else
            {
                scope.Dispose();
            }
        }

        Assert.True(seen.Count < 20, "No context was used again, so nothing was shown.");
    }

    private static bool IsTenants(IEntityType table) =>
        !table.IsOwned() && !TenantModelTests.NotTenantOwned.Contains(table.ClrType);

    private static MethodInfo Method(string name) =>
        typeof(ClubScopeTests).GetMethod(name, BindingFlags.NonPublic | BindingFlags.Static)!;

    private static Task ReadAsync<T>(AgeWatchContext db)
        where T : class => db.Set<T>().AsNoTracking().ToListAsync(Stop);

    private static async Task<Guid> GivenClubAsync(TestApp app)
    {
        var clubId = Guid.CreateVersion7();
        await using var db = app.Database.Open(clubId);
        db.Add(new Club { ClubId = clubId, Name = "Other", TimeZone = "UTC", CreatedAt = DateTime.UnixEpoch });
        await db.SaveChangesAsync(Stop);
        return clubId;
    }

    private static Vehicle Car(Guid clubId) => new()
    {
        ClubId = clubId,
        Id = Guid.CreateVersion7(),
        Name = "New",
        DistanceUnit = DistanceUnit.Kilometre,
        CreatedAt = DateTime.UnixEpoch,
    };
}
