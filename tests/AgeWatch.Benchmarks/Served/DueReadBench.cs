using System.Diagnostics;
using System.Globalization;
using System.Net.Http.Headers;
using System.Text.Json;
using AgeWatch.Benchmarks.Nights;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Nights;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Benchmarks.Served;

/// <summary>
/// GET /v1/vehicles/{id}/due with 40 components, answers worked out with their reasons, beside a hand-written data
/// reader that puts the stored states of the same vehicle into JSON. Both check the key; the client is in the same
/// process.
/// </summary>
internal static class DueReadBench
{
    private const int Clients = 8;
    private const int Rounds = 5;
    private static readonly TimeSpan RoundLength = TimeSpan.FromSeconds(3);

    public static async Task RunAsync()
    {
        var folder = Directory.CreateTempSubdirectory("agewatch-bench-");
        var key = KeyText.New();
        await using var app = Server.Program.Build(
            [
                $"--AgeWatch:Data={folder.FullName}", "--AgeWatch:LogLevel=error", "--AgeWatch:Role=api",
                $"--AgeWatch:FirstKey={key}",
                "--AgeWatch:Urls=http://127.0.0.1:0",
            ],
            more: v1 => v1.MapGet("/bench-reader/{id:guid}", ReadAsync).ForReaders());
        await Server.Program.PrepareAsync(app);
        Guid vehicleId;
        await using (var scope = app.Services.CreateAsyncScope())
        {
            var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
            var clubId = await db.Clubs.AcrossClubs().Select(c => c.ClubId).SingleAsync();
            db.EnterClub(clubId);
            await BenchClub.SeedAsync(db, clubId, 100 * BenchClub.PartsPerCar, default);
            await scope.ServiceProvider.GetRequiredService<NightAssessment>()
                .FullAsync(clubId, BenchClub.Start, (_, _) => Task.CompletedTask, default);

            // Without it SQLite walks the whole club in the order that the reader asks for.
            await db.Database.ExecuteSqlRawAsync("ANALYZE");
            vehicleId = await db.Vehicles.OrderBy(v => v.Id).Select(v => v.Id).Skip(50).FirstAsync();
        }

        await app.StartAsync();
        using HttpClient client = new()
        {
            BaseAddress = new(app.Urls.First()),
            DefaultRequestHeaders = { Authorization = new AuthenticationHeaderValue("Bearer", key) }
        };
        List<(double Rate, double Work)> ratios = [];
        for (var round = -1; round < Rounds; round++)
        {
            var (due, dueBytes, dueWork) = await RateAsync(client, $"/v1/vehicles/{vehicleId}/due");
            var (reader, readerBytes, readerWork) = await RateAsync(client, $"/v1/bench-reader/{vehicleId}");
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{(round < 0 ? "warm-up" : $"round {round}")}: due {due:0}/s of {dueBytes} bytes at {dueWork:0} us "
                    + $"of processor, hand-written reader {reader:0}/s of {readerBytes} bytes at {readerWork:0} us, "
                    + $"ratio {due / reader:0.000}, by processor {readerWork / dueWork:0.000}; load "
                    + $"{File.ReadAllText("/proc/loadavg").Split(' ')[0]}"));
            ratios.AddRange(round < 0 ? [] : [(due / reader, readerWork / dueWork)]);
        }

        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"median ratio {ratios.Select(r => r.Rate).Order().ElementAt(Rounds / 2):0.000}, by processor "
                + $"{ratios.Select(r => r.Work).Order().ElementAt(Rounds / 2):0.000}"));
        await app.StopAsync();
        folder.Delete(recursive: true);
    }

    /// <summary>Processor time is that of the whole process, the client's part included: other work on the machine does
    /// not count.</summary>
    private static async Task<(
        double PerSecond, long Bytes, double ProcessorMicroseconds)> RateAsync(HttpClient client, string path)
    {
        var count = 0;
        long bytes = 0;
        var watch = Stopwatch.StartNew();
        var worked = Environment.CpuUsage.TotalTime;
        await Task.WhenAll(Enumerable.Range(0, Clients).Select(_ => Task.Run(async () =>
        {
            var room = new byte[64 * 1024];
            while (watch.Elapsed < RoundLength)
            {
                using var response = await client.GetAsync(path, HttpCompletionOption.ResponseHeadersRead);
                await using var body = await response.EnsureSuccessStatusCode().Content.ReadAsStreamAsync();
                var length = 0;
                for (int read; (read = await body.ReadAsync(room)) > 0; length += read)
                {
                }

                bytes = length;
                Interlocked.Increment(ref count);
            }
        })));
        return (count / watch.Elapsed.TotalSeconds, bytes, (Environment.CpuUsage.TotalTime - worked)
            .TotalMicroseconds / count);
    }

    private static async Task ReadAsync(Guid id, Caller caller, AgeWatchContext db, HttpContext http)
    {
        http.Response.ContentType = "application/json";
        await db.Database.OpenConnectionAsync(http.RequestAborted);
        await using var command = db.Database.GetDbConnection().CreateCommand();
        command.CommandText =
            "SELECT subject_id, part_kind, hazard, state, certainty, due_earliest, due_latest, next_change_on FROM "
                + "due_states WHERE club_id = @club AND vehicle_id = @vehicle ORDER BY rank, subject_id";
        foreach (var (name, value) in new[] { ("@club", caller.ClubId), ("@vehicle", id) })
        {
            var parameter = command.CreateParameter();
            (parameter.ParameterName, parameter.Value) = (name, value);
            command.Parameters.Add(parameter);
        }

        await using var reader = await command.ExecuteReaderAsync(http.RequestAborted);
        await using Utf8JsonWriter json = new(http.Response.BodyWriter);
        json.WriteStartArray();
        while (await reader.ReadAsync(http.RequestAborted))
        {
            json.WriteStartObject();
            json.WriteString("id", reader.GetString(0));
            json.WriteString("partKind", reader.GetString(1));
            json.WriteNumber("hazard", reader.GetInt32(2));
            json.WriteNumber("state", reader.GetInt32(3));
            json.WriteNumber("certainty", reader.GetInt32(4));
            for (var i = 5; i < 8; i++)
            {
                json.WriteString(reader.GetName(i), reader.IsDBNull(i) ? null : reader.GetString(i));
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
        await json.FlushAsync(http.RequestAborted);
    }
}
