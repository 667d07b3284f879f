using System.Diagnostics;
using System.Globalization;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Benchmarks.Nights;

/// <summary>One timed piece of work in a process of its own, so that its peak memory is its own.</summary>
internal static class NightStep
{
    /// <param name="args">What, day, data folder and, for PostgreSQL, the connection.</param>
    public static async Task RunAsync(string[] args)
    {
        var (what, day, folder) = (args[0], DateOnly.ParseExact(args[1], "O", CultureInfo.InvariantCulture), args[2]);
        List<string> settings = [
            $"--AgeWatch:Data={folder}", "--AgeWatch:LogLevel=error", "--AgeWatch:Role=api",
            $"--AgeWatch:FirstKey={KeyText.New()}"];
        if (args.Length > 3)
        {
            settings.Add($"--AgeWatch:Database={args[3]}");
        }

        await using var app = Server.Program.Build([.. settings]);
        await using var scope = app.Services.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        db.Database.SetCommandTimeout(TimeSpan.FromMinutes(30));
        if (what == "seed")
        {
            await Server.Program.PrepareAsync(app);
            db.EnterClub(await ClubAsync(db));
            await BenchClub.SeedAsync(
                db, db.ClubId, int.Parse(args[4], CultureInfo.InvariantCulture), default);
            db.EnterClub(BenchClub.WarmUp);
            db.Add(new Club
            {
                ClubId = BenchClub.WarmUp,
                Name = "Warm-up",
                TimeZone = "UTC",
                CreatedAt = DateTime.UnixEpoch
            });
            await db.SaveChangesAsync();
            await BenchClub.SeedAsync(db, BenchClub.WarmUp, 4 * 50 * BenchClub.PartsPerCar, default);
            await PlainRule.PrepareAsync(db, default);
            await db.Database.ExecuteSqlRawAsync("ANALYZE");
            return;
        }

        var clubId = await ClubAsync(db);
        var done = default(RecomputeCount);
        NightAssessment.Step step = (count, _) =>
        {
            done += count;
            return Task.CompletedTask;
        };
        var assessment = scope.ServiceProvider.GetRequiredService<NightAssessment>();
        if (what is "full" or "incremental")
        {
            // A server is warm when its night comes, and the compiler at rest.
            db.EnterClub(BenchClub.WarmUp);
            for (var round = 3; round > 0; round--)
            {
                await assessment.FullAsync(BenchClub.WarmUp, day.AddDays(-60 * round), step, default);
                await assessment.RunAsync(BenchClub.WarmUp, day.AddDays(-60 * round + 30), step, default);
            }

            await Task.Delay(500);
            done = default;
        }

        if (what == "sql")
        {
            await PlainRule.ExplainAsync(db, day, default);
        }

        db.EnterClub(clubId);
        var idle = Megabytes("VmRSS");
        var watch = Stopwatch.StartNew();
        var written = 0;
        switch (what)
        {
            case "full":
                await assessment.FullAsync(clubId, day, step, default);
                break;
            case "incremental":
                await assessment.RunAsync(clubId, day, step, default);
                break;
            case "sql":
                written = await PlainRule.BySqlAsync(db, day, default);
                break;
            case "naive-ef":
                written = await PlainRule.ByNaiveEfAsync(db, day, default);
                break;
            default:
                throw new ArgumentException(what);
        }

        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"RESULT {watch.ElapsedMilliseconds} {done.Written + written} {done.Assessed} {Megabytes("VmHWM")} "
                + $"{Megabytes("VmHWM") - idle}"));
    }

    private static Task<Guid> ClubAsync(AgeWatchContext db) =>
        db.Clubs.AcrossClubs().Where(c => c.ClubId != BenchClub.WarmUp).Select(c => c.ClubId).SingleAsync();

    private static long Megabytes(string name) => long.Parse(
        File.ReadLines("/proc/self/status")
            .First(line => line.StartsWith(name, StringComparison.Ordinal))
            .Split(' ', StringSplitOptions.RemoveEmptyEntries)[1],
        CultureInfo.InvariantCulture) / 1024;
}
