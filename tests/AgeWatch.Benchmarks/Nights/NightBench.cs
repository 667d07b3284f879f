using System.Diagnostics;
using System.Globalization;
using AgeWatch.Server.Tests.Fixtures;
using Npgsql;

namespace AgeWatch.Benchmarks.Nights;

/// <summary>
/// A night over many components beside the plain rule in one SQL statement and in naive EF, on the same database in one
/// run. Arguments: sizes, such as <c>10000 100000 sqlite:100000</c>.
/// </summary>
internal static class NightBench
{
    private const int Rounds = 3;

    // Beyond it a round takes minutes, the naive side most of them.
    private const int MostForNaive = 500_000;
    private static readonly string[] Usual = ["10000", "100000", "1000000", "sqlite:100000"];

    public static async Task RunAsync(string[] sizes)
    {
        foreach (var size in sizes.Length > 0 ? sizes : Usual)
        {
            var isSqlite = size.StartsWith("sqlite:", StringComparison.Ordinal);
            await MeasureAsync(isSqlite, int.Parse(size.Split(':')[^1], CultureInfo.InvariantCulture));
        }
    }

    private static async Task MeasureAsync(bool isSqlite, int components)
    {
        var folder = Directory.CreateTempSubdirectory("agewatch-bench-");
        PostgresCluster? cluster = null;
        try
        {
            List<string> where = [folder.FullName];
            if (!isSqlite)
            {
                cluster = await PostgresCluster.StartAsync(PostgresCluster.FindBinaries()
                    ?? throw new InvalidOperationException("No PostgreSQL binaries on this machine."));
                where.Add(new NpgsqlConnectionStringBuilder(
                    cluster.ConnectionString)
                { Database = "agewatch" }.ConnectionString);
            }

            Console.WriteLine($"# {(isSqlite ? "SQLite" : "PostgreSQL")}, {components} components; load {Load()}");
            var seeding = Stopwatch.StartNew();
            await StepAsync("seed", BenchClub.Start, where, isSqlite ? "" : null, components);
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture, $"seeded in {seeding.Elapsed.TotalSeconds:0} s"));
            Show("first full", await StepAsync("full", BenchClub.Start, where));
            Show("first sql", await StepAsync("sql", BenchClub.Start, where));
            var day = BenchClub.Start;
            List<(double Full, double Incremental)> ratios = [];
            for (var round = 0; round < (components > MostForNaive ? 1 : Rounds); round++)
            {
                day = day.AddDays(30);
                var sql = await StepAsync("sql", day, where);
                var full = await StepAsync("full", day, where);
                day = day.AddDays(1);
                var next = await StepAsync("sql", day, where);
                var incremental = await StepAsync("incremental", day, where);
                Show("sql, a month on", sql);
                Show("full, a month on", full);
                Show("sql, a day on", next);
                Show("incremental, a day on", incremental);
                ratios.Add((
                    (double)full.Milliseconds / sql.Milliseconds,
                    (double)incremental.Milliseconds / next.Milliseconds));
            }

            if (components <= MostForNaive)
            {
                Show("naive ef, a month on", await StepAsync("naive-ef", day.AddDays(30), where));
            }

            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"ratios to sql (median): full {Median(ratios.Select(r => r.Full)):0.0}, incremental "
                    + $"{Median(ratios.Select(r => r.Incremental)):0.00}; load {Load()}"));
        }
        finally
        {
            if (cluster is not null)
            {
                await cluster.DisposeAsync();
            }

            folder.Delete(recursive: true);
        }
    }

    private static async Task<Result> StepAsync(
        string what, DateOnly day, List<string> where, string? noConnection = null, int components = 0)
    {
        string[] tail = components > 0
            ? [.. noConnection is { } none
                ? [none]
                : Array.Empty<string>(), components.ToString(CultureInfo.InvariantCulture)]
            : [];
        ProcessStartInfo start = new(
            "dotnet",
            [typeof(NightBench)
                .Assembly.Location, "night-step", what, day.ToString("O", CultureInfo.InvariantCulture), .. where,
                .. tail])
        {
            RedirectStandardOutput = true,
        };
        using var process = Process.Start(start)!;
        var output = await process.StandardOutput.ReadToEndAsync();
        await process.WaitForExitAsync();
        var result = output.Split('\n').FirstOrDefault(line => line.StartsWith("RESULT", StringComparison.Ordinal));
        return process.ExitCode != 0 ? throw new InvalidOperationException($"{what}: {output}")
            : result?.Split(' ') is [_, .. var figures]
                && figures.Select(figure => long.Parse(figure, CultureInfo.InvariantCulture))
                    .ToArray() is [var ms, var written, var assessed, var peak, var over]
                ? new(ms, written, assessed, peak, over)
                : new(0, 0, 0, 0, 0);
    }

    private static void Show(string name, Result r) => Console.WriteLine(string.Create(
        CultureInfo.InvariantCulture,
        $"{name,-24} {r.Milliseconds,8} ms  {r.Written,8} rows written  {r.Assessed,8} assessed  peak {r.Peak,5} MB, "
            + $"{r.OverIdle,5} MB over idle"));

    private static double Median(IEnumerable<double> values) =>
        values.Order().ToList() is var sorted ? sorted[sorted.Count / 2] : 0;

    private static string Load() => File.ReadAllText("/proc/loadavg").Split(' ')[0];

    private sealed record Result(long Milliseconds, long Written, long Assessed, long Peak, long OverIdle);
}
