using System.Diagnostics;
using System.Text.RegularExpressions;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Delivery;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Nights;
using AgeWatch.TestWorker;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>Several clubs, several worker processes, one PostgreSQL.</summary>
public sealed partial class NightSpreadTests(ITestOutputHelper output)
{
    private const int Owners = 8;

    // Less than the patience of a command with a lock that another holds, 30 seconds.
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(25);
    private static readonly TimeSpan StartPatience = TimeSpan.FromMinutes(2);

    /// <summary>
    /// At 17:00 UTC it is 07:00 of 26 November in Honolulu (UTC-10), 12:00 in New York (UTC-5), 04:00 of 27 November on
    /// Lord Howe (UTC+11 in its summer), 06:00 in Apia (UTC+13) and 07:00 on Kiritimati (UTC+14): in each the night at
    /// 03:30 has come.
    /// </summary>
    private static readonly (string Zone, DateOnly LocalDate)[] Clubs =
    [
        ("UTC", new(2026, 11, 26)), ("Pacific/Honolulu", new(2026, 11, 26)), ("America/New_York", new(2026, 11, 26)),
        ("Australia/Lord_Howe", new(2026, 11, 27)), ("Pacific/Apia", new(2026, 11, 27)),
        ("Pacific/Kiritimati", new(2026, 11, 27)),
    ];

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Clubs_of_many_zones_are_shared_out_and_none_waits_for_a_slow_one()
    {
        await using var database = await TestDatabase.CreateAsync(DatabaseKind.Postgres);
        await using SmtpSink mail = new();
        var clock = Path.Combine(database.Folder, "clock");
        SimulatedClock.Set(clock, new(2026, 11, 26, 0, 0, 0, TimeSpan.Zero), speed: 4);
        (string, string)[] settings =
        [
            .. database.Settings, ("AGEWATCH_ROLE", "worker"), ("AGEWATCH_FIRST_KEY", KeyText.New()),
            ("AGEWATCH_SMTP", $"smtp://127.0.0.1:{mail.Port}?security=none"),
        ];
        await using var one = OutOfProcessApp.LaunchWithClock(clock, settings);
        await using var two = OutOfProcessApp.LaunchWithClock(clock, settings);
        await UntilAsync(StartPatience, () =>
            Task.FromResult(Workers().All(w => w.Output.Contains("Application started", StringComparison.Ordinal))));
        var clubs = await FoundAsync(database);

        // The club of Apia has a lock in its way, as if it had a million parts.
        var slow = clubs["Pacific/Apia"];
        await using (NpgsqlConnection holder = new(database.Connection))
        {
            await holder.OpenAsync(Stop);
            await using var transaction = await holder.BeginTransactionAsync(Stop);
            await using NpgsqlCommand hold = new(
                "SELECT 1 FROM vehicles WHERE club_id = $1 FOR UPDATE", holder,
                transaction)
            { Parameters = { new() { Value = slow } } };
            await hold.ExecuteNonQueryAsync(Stop);

            SimulatedClock.Set(clock, new(2026, 11, 26, 17, 0, 0, TimeSpan.Zero), speed: 4);
            await UntilAsync(Patience, async () => await DoneAsync(database) == Clubs.Length - 1);
            await using var meanwhile = database.Open();
            var stuck = await meanwhile.NightRuns.AsNoTracking().AcrossClubs()
                .SingleAsync(n => n.Status != NightRunStatus.Done, Stop);
            Assert.Equal((slow, NightRunStatus.Running), (stuck.ClubId, stuck.Status));
            await transaction.CommitAsync(Stop);
        }

        await UntilAsync(Patience, async () => await DoneAsync(database) == Clubs.Length
            && mail.Received.Count >= Clubs.Length * Owners
            && Nights().Sum() >= Clubs.Length);

        // Each club's night once, for its own local day, and each of its digests once.
        await using var db = database.Open();
        var runs = await db.NightRuns.AsNoTracking().AcrossClubs().ToListAsync(Stop);
        Assert.Equal(Clubs.Select(c => (clubs[c.Zone], c.LocalDate, 1, Owners))
            .Order(), runs.Select(n => (n.ClubId, n.LocalDate, n.Attempts, n.Digests))
            .Order());
        var digests = await db.Digests.AsNoTracking().AcrossClubs().ToListAsync(Stop);
        Assert.Equal(Clubs.Length * Owners, digests.Count);
        Assert.All(
            digests.GroupBy(d => d.ClubId),
            club => Assert.Equal(runs.Single(n => n.ClubId == club.Key)
                .LocalDate, Assert.Single(club.Select(d => d.LocalDate).Distinct())));
        Assert.Equal(digests.Select(d => d.Recipient)
            .Order(), mail.Received.Select(m => Assert.Single(m.Recipients))
            .Order());

        // Both took part: each says in its log which nights it went through, and together they went through six.
        var nights = Nights();
        output.WriteLine($"{string.Join(" and ", nights)} nights");
        Assert.Equal(Clubs.Length, nights.Sum());
        Assert.DoesNotContain(0, nights);

        OutOfProcessApp[] Workers() => [one, two];
        int[] Nights() => [.. Workers().Select(worker => NightDone().Count(worker.Output))];
        async Task UntilAsync(TimeSpan patience, Func<Task<bool>> isSo)
        {
            for (var waited = Stopwatch.StartNew(); !await isSo(); await Task.Delay(50, Stop))
            {
                Assert.True(waited.Elapsed < patience, $"{one.Output}\n---\n{two.Output}");
            }
        }
    }

    private static async Task<Dictionary<string, Guid>> FoundAsync(TestDatabase database)
    {
        Dictionary<string, Guid> clubs = new() { ["UTC"] = await database.ClubIdAsync() };
        foreach (var (zone, _) in Clubs.Where(c => c.Zone != "UTC"))
        {
            clubs[zone] = Guid.CreateVersion7();
            await using var db = database.Open(clubs[zone]);
            db.Add(new Club
            {
                ClubId = clubs[zone],
                Name = zone,
                TimeZone = zone,
                CreatedAt = new(2026, 11, 26, 0, 0, 0, DateTimeKind.Utc)
            });
            await db.SaveChangesAsync(Stop);
        }

        foreach (var ((_, clubId), i) in clubs.Select((club, i) => (club, i)))
        {
            await database.GivenOwnersAsync(clubId, Owners, $"club{i}.example");
        }

        return clubs;
    }

    private static async Task<int> DoneAsync(TestDatabase database)
    {
        await using var db = database.Open();
        return await db.NightRuns.AcrossClubs().CountAsync(n => n.Status == NightRunStatus.Done, Stop);
    }

    [GeneratedRegex("Night of .* assessed")]
    private static partial Regex NightDone();
}
