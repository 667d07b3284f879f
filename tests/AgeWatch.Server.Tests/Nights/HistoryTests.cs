using System.Globalization;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>
/// The same random histories are lived by two clubs: one works out each night what can have changed, the other
/// everything. Their tables must be the same at each night, and a full pass over the first must find nothing to write.
/// </summary>
public sealed class HistoryTests
{
    private const int Vehicles = 24;
    private const int Nights = 10;

    private static readonly DateOnly Start = new(2026, 11, 26);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Incremental_nights_and_full_ones_leave_the_same_tables(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, GivenNights.Idle);
        var seed = Environment.GetEnvironmentVariable("HISTORY_SEED") is { } given
            ? int.Parse(given, CultureInfo.InvariantCulture)
            : Random.Shared.Next();
        var incremental = Guid.CreateVersion7();
        var full = Guid.CreateVersion7();
        List<RandomHistory> lives = [];
        foreach (var clubId in (Guid[])[incremental, full])
        {
            await using var db = app.Database.Open(clubId);
            db.Add(new Club
            {
                ClubId = clubId,
                Name = $"Club {clubId}",
                TimeZone = "UTC",
                CreatedAt = DateTime.UnixEpoch
            });
            await db.SaveChangesAsync(Stop);
            lives.Add(new(clubId, seed));
            await WriteAsync(app, lives[^1], life => life.Begin(Vehicles, Start));
        }

        Random nights = new(seed);
        var day = Start;
        for (var night = 0; night < Nights; night++)
        {
            await RunAsync(app, incremental, day, isFull: false);
            await RunAsync(app, full, day, isFull: true);
            var (one, other) = (await TableAsync(app, incremental), await TableAsync(app, full));
            Assert.True(one == other, $"HISTORY_SEED={seed}, night of {day:O}:\n{one}\n--- full ---\n{other}");

            foreach (var life in lives)
            {
                await WriteAsync(app, life, l => l.Change(day));
            }

            // Nights in a row, some missed, and a winter away.
            var days = nights.Next(4) switch
            {
                0 =>
                1,
                1 => nights.Next(2, 5),
                2 => nights.Next(5, 40),
                _ => nights.Next(40, 200)
            };
            day = day.AddDays(days);
            app.Clock.Advance(TimeSpan.FromDays(days));
        }

        await RunAsync(app, incremental, day, isFull: false);
        var again = await RunAsync(app, incremental, day, isFull: true);
        Assert.True(
            (again.Changed, again.Written) == (0, 0), $"HISTORY_SEED={seed}: a full pass on {day:O} wrote {again}");
        Assert.NotEqual(0, again.Assessed);
    }

    private static Task<bool> WriteAsync(
        TestApp app, RandomHistory life, Func<RandomHistory,
        IEnumerable<object>> step) => app.InScopeAsync(async services =>
    {
        var db = services.GetRequiredService<AgeWatchContext>();
        db.EnterClub(life.ClubId);
        await RandomHistory.ApplyAsync(db, step(life), Stop);
        Guid?[] touched = [.. await db.Vehicles.Where(v => v.ClubId == life.ClubId)
            .Select(v => (Guid?)v.Id)
            .ToListAsync(Stop), null];
        await services.GetRequiredService<FactWriter>().SaveAsync(life.ClubId, touched, Stop);
        return true;
    });

    private static Task<RecomputeCount> RunAsync(TestApp app, Guid clubId, DateOnly day, bool isFull) =>
        app.InScopeAsync(async services =>
    {
        services.GetRequiredService<AgeWatchContext>().EnterClub(clubId);
        var assessment = services.GetRequiredService<NightAssessment>();
        var all = default(RecomputeCount);
        NightAssessment.Step step = (count, _) =>
        {
            all += count;
            return Task.CompletedTask;
        };
        await (isFull ? assessment.FullAsync(clubId, day, step, Stop) : assessment.RunAsync(clubId, day, step, Stop));
        return all;
    });

    /// <summary>Ids and the clock's hour aside, what is stored: the states, and the events as a set.</summary>
    private static async Task<string> TableAsync(TestApp app, Guid clubId)
    {
        await using var db = app.Database.Open(clubId);
        var states = await db.DueStates.AsNoTracking()
            .Where(s => s.ClubId == clubId)
            .OrderBy(s => s.SubjectId)
            .ToListAsync(Stop);
        var events = await db.Events.AsNoTracking()
            .Where(e => e.ClubId == clubId)
            .Select(e => e.Content)
            .ToListAsync(Stop);
        return string.Join('\n', states.Select(s => string.Create(
                CultureInfo.InvariantCulture,
                $"{s.SubjectId} {s.SubjectKind} {s.VehicleId} {s.PartKind} {s.Hazard} {s.State} {s.Certainty} "
                    + $"{s.DueEarliest:O} {s.DueLatest:O} as of {s.AsOf:O} next {s.NextChangeOn:O} since {s.Since:O} "
                    + $"{s.RuleVersion}")))
            + "\n" + string.Join('\n', events.Order());
    }
}
