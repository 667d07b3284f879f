using System.Data.Common;
using System.Diagnostics;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Nights;
using AgeWatch.TestWorker;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace AgeWatch.Server.Tests.Chaos;

/// <summary>Two workers, their database and their clock, and the hand that kills.</summary>
internal sealed class ChaosMonth : IAsyncDisposable
{
    // Leases of two minutes last five seconds then.
    private const int Speed = 24;
    private static readonly TimeSpan UsualStart = TimeSpan.FromSeconds(3);

    private readonly ChaosPlan _plan;
    private readonly MoodyMailServer _mail;
    private readonly TimeSpan _patience;
    private readonly ITestOutputHelper _output;
    private readonly PostgresCluster _cluster;
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("agewatch-chaos-");
    private readonly string _key = KeyText.New();
    private readonly (OutOfProcessApp App, int Line)[] _workers = new (OutOfProcessApp, int)[2];
    private readonly List<OutOfProcessApp> _all = [];
    private readonly HashSet<int> _killedLines = [];

    // How many times slower this machine is at the moment than the plan supposes.
    private double _slow = 1;

    private ChaosMonth(
        ChaosPlan plan, MoodyMailServer mail, TimeSpan patience, ITestOutputHelper output, PostgresCluster cluster)
    {
        (_plan, _mail, _patience, _output, _cluster) = (plan, mail, patience, output, cluster);
        Connection = new NpgsqlConnectionStringBuilder(
            cluster.ConnectionString)
        { Database = "agewatch" }.ConnectionString;
    }

    public int Kills => _killedLines.Count;

    /// <summary>Of every worker there was, the last of it.</summary>
    public string Output =>
        string.Join("\n---\n", _all.Select(app => string.Join('\n', app.Output.Split('\n').TakeLast(25))));

    private string Connection { get; }

    private string ClockFile => Path.Combine(_folder.FullName, "clock");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public static async Task<ChaosMonth> BeginAsync(
        string binaries, ChaosPlan plan, MoodyMailServer mail, TimeSpan patience, ITestOutputHelper output)
    {
        ChaosMonth month = new(
            plan, mail, patience, output, await PostgresCluster.StartAsync(binaries, keepsCommits: true));
        try
        {
            month.SetClock(new(2026, 11, 30));
            month.Launch(0);
            await month._workers[0].App.WaitUntilReadyAsync();
            var since = Stopwatch.StartNew();
            month.Launch(1);
            await month.WaitUntilUpAsync(1);
            month._slow = Math.Clamp(since.Elapsed / UsualStart, 1, 12);
            output.WriteLine($"A worker starts in {since.Elapsed.TotalSeconds:0.0} s");
            await using var db = month.Open();
            await ChaosClub.FoundAsync(db, Stop);
            return month;
        }
        catch
        {
            await month.DisposeAsync();
            throw;
        }
    }

    public AgeWatchContext Open()
    {
        var db = TestDatabase.Open(DatabaseKind.Postgres, Connection);
        db.EnterFirstClub();
        return db;
    }

    public bool WasKilled(int line) => _killedLines.Contains(line);

    /// <summary>Sets the clock to the night, lets happen what is planned, and waits until every digest of it is
    /// taken.</summary>
    public async Task NightAsync(int night)
    {
        var day = ChaosClub.FirstNight.AddDays(night);
        await WaitUntilUpAsync(0, 1);
        _mail.Day = day;
        SetClock(day);
        var since = Stopwatch.StartNew();
        var deeds = _plan.Kills[night]
            .Select(kill => (kill.AfterMilliseconds, Do: (Func<Task>)(() => KillAsync(kill.Worker))))
            .Concat(_plan.Crashes.Where(crash => crash.Night == night)
                .Select(crash => (crash.AfterMilliseconds, Do: (Func<Task>)CrashAsync)))
            .OrderBy(deed => deed.AfterMilliseconds);
        foreach (var (after, deed) in deeds)
        {
            await Task.Delay(Math.Max(0, (int)(after * _slow) - (int)since.ElapsedMilliseconds), Stop);
            await deed();
        }

        while (!await IsOverAsync(day))
        {
            Assert.True(since.Elapsed < _patience, $"The night of {day:O} does not end.\n{Output}");
            await Task.Delay(50, Stop);
        }
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var app in _all)
        {
            await app.DisposeAsync();
        }

        NpgsqlConnection.ClearAllPools();
        await _cluster.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    private async Task KillAsync(int worker)
    {
        var (app, line) = _workers[worker];
        if (app.HasExited)
        {
            _output.WriteLine($"Worker {worker} had ended by itself:\n{app.Output}");
        }

        await app.KillAsync();
        _killedLines.Add(line);
        Launch(worker);
    }

    private Task CrashAsync() => _cluster.CrashAndRestartAsync();

    private void Launch(int worker)
    {
        var (line, port) = _mail.Open();
        var app = OutOfProcessApp.LaunchWithClock(
            ClockFile,
            [
                ("AGEWATCH_DATA", _folder.FullName), ("AGEWATCH_DATABASE", Connection), ("AGEWATCH_ROLE", "worker"),
                ("AGEWATCH_FIRST_KEY", _key),
                ("AGEWATCH_SMTP", $"smtp://127.0.0.1:{port}?security=none"),
            ]);
        _all.Add(app);
        _workers[worker] = (app, line);
    }

    private void SetClock(DateOnly day) =>
        SimulatedClock.Set(
            ClockFile, new(day.ToDateTime(new(3, 30, 1)), TimeSpan.Zero), Math.Max(2, (int)(Speed / _slow)));

    /// <summary>Any of them: with none at work there is nothing to disturb.</summary>
    private async Task WaitUntilUpAsync(params int[] workers)
    {
        for (var since = Stopwatch.StartNew(); !workers.Any(worker =>
            _workers[worker].App.Output.Contains("Application started", StringComparison.Ordinal));)
        {
            Assert.True(since.Elapsed < _patience, $"No worker comes up.\n{Output}");
            await Task.Delay(20, Stop);
        }
    }

    private async Task<bool> IsOverAsync(DateOnly day)
    {
        // A worker that came up while the database was away has said so and gone; a service manager would start it
        // anew.
        foreach (var worker in Enumerable.Range(0, _workers.Length).Where(worker => _workers[worker].App.HasExited))
        {
            Launch(worker);
        }

        try
        {
            await using var db = Open();
            return await db.NightRuns.AnyAsync(n => n.LocalDate == day && n.Status == NightRunStatus.Done, Stop)
                && !await db.Digests.AnyAsync(d => d.State == SendState.Waiting, Stop);
        }
        catch (Exception away) when (away is DbException or InvalidOperationException { InnerException: DbException })
        {
            return false;
        }
    }
}
