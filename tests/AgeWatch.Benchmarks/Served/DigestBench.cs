using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Net.Sockets;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Outbox;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Vehicles;
using MailKit.Net.Smtp;
using MailKit.Security;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using MimeKit;
using Npgsql;

namespace AgeWatch.Benchmarks.Served;

/// <summary>1,000 digests worked out, rendered, stored, sent and marked, beside MailKit that sends the same ready bytes
/// over as many connections.</summary>
internal static class DigestBench
{
    private const int Members = 1000;
    private const int Domains = 100;
    private const int Rounds = 3;

    /// <param name="isPostgres">On a cluster of its own; else on SQLite.</param>
    public static async Task RunAsync(bool isPostgres)
    {
        await using var cluster = !isPostgres ? null
            : await PostgresCluster.StartAsync(PostgresCluster.FindBinaries()
                ?? throw new InvalidOperationException("No PostgreSQL binaries on this machine."));
        ProcessStartInfo start = new(
            "dotnet", [typeof(DigestBench).Assembly.Location, "sink"])
        { RedirectStandardOutput = true };
        using var sink = Process.Start(start)!;
        var port = int.Parse((await sink.StandardOutput.ReadLineAsync())!, CultureInfo.InvariantCulture);
        try
        {
            for (var round = 0; round < Rounds; round++)
            {
                await RoundAsync(port, cluster is null
                    ? null
                    : new NpgsqlConnectionStringBuilder(
                        cluster.ConnectionString)
                    { Database = $"agewatch{round}" }.ConnectionString);
            }
        }
        finally
        {
            sink.Kill();
        }
    }

    private static async Task RoundAsync(int port, string? database)
    {
        var folder = Directory.CreateTempSubdirectory("agewatch-bench-");
        await using var app = Server.Program.Build(
        [
            $"--AgeWatch:Data={folder.FullName}", "--AgeWatch:LogLevel=error", "--AgeWatch:Role=api",
            $"--AgeWatch:FirstKey={KeyText.New()}",
            $"--AgeWatch:Smtp=smtp://127.0.0.1:{port}?security=none", .. database is null
                ? Array.Empty<string>()
                : [$"--AgeWatch:Database={database}"],
        ]);
        await Server.Program.PrepareAsync(app);
        await using var scope = app.Services.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
        var clubId = await SeedAsync(db);

        var day = DateOnly.FromDateTime(DateTime.UtcNow);
        await scope.ServiceProvider.GetRequiredService<NightAssessment>()
            .FullAsync(clubId, day, (_, _) => Task.CompletedTask, default);
        var watch = Stopwatch.StartNew();
        await scope.ServiceProvider.GetRequiredService<NightJob>().RunAsync(clubId, day, default);
        var rendered = watch.Elapsed;
        watch.Restart();
        while (await app.Services.GetRequiredService<DigestOutbox>().SendDueAsync(default) > 0)
        {
        }

        var sent = watch.Elapsed;
        var digests = await db.Digests.AsNoTracking().ToListAsync();
        if (digests.Count != Members || digests.Any(digest => digest.State != SendState.Accepted))
        {
            throw new InvalidOperationException($"{digests.Count(digest => digest.State == SendState.Accepted)} of "
                + $"{digests.Count} digests were taken.");
        }

        // As it comes out of the box, and with the one setting that makes it as fast as it can be.
        var raw = await RawAsync(digests, port, noDelay: false);
        var tuned = await RawAsync(digests, port, noDelay: true);
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{Members} digests to {Domains} domains on {(database is null ? "SQLite" : "PostgreSQL")}, "
                + $"{digests.Average(d => d.Message.Length):0} bytes: written in {rendered.TotalMilliseconds:0} ms, "
                + $"sent and marked in {sent.TotalMilliseconds:0} ms; MailKit alone {raw.TotalMilliseconds:0} ms, "
                + $"without Nagle's algorithm {tuned.TotalMilliseconds:0} ms; ratio of sending {sent / raw:0.00} and "
                + $"{sent / tuned:0.00}, of all {(rendered + sent) / raw:0.00} and {(rendered + sent) / tuned:0.00}; "
                + $"load {File.ReadAllText("/proc/loadavg").Split(' ')[0]}"));
        folder.Delete(recursive: true);
    }

    private static async Task<TimeSpan> RawAsync(IEnumerable<Digest> digests, int port, bool noDelay)
    {
        var watch = Stopwatch.StartNew();
        ConcurrentQueue<Digest> ready = new(digests);
        await Task.WhenAll(Enumerable.Range(0, new OutboxOptions().Lanes)
            .Select(_ => Task.Run(() => SendRawAsync(ready, port, noDelay))));
        return watch.Elapsed;
    }

    private static async Task SendRawAsync(ConcurrentQueue<Digest> ready, int port, bool noDelay)
    {
        using SmtpClient client = new();
        using Socket socket = new(SocketType.Stream, ProtocolType.Tcp) { NoDelay = noDelay };
        await socket.ConnectAsync("127.0.0.1", port);
        await client.ConnectAsync(socket, "127.0.0.1", port, SecureSocketOptions.None);
        while (ready.TryDequeue(out var digest))
        {
            using MemoryStream bytes = new(digest.Message);
            using var message = await MimeMessage.LoadAsync(bytes);
            await client.SendAsync(message);
        }

        await client.DisconnectAsync(true);
    }

    private static async Task<Guid> SeedAsync(AgeWatchContext db)
    {
        var clubId = await db.Clubs.AcrossClubs().Select(c => c.ClubId).SingleAsync();
        db.EnterClub(clubId);
        List<Member> members = [];
        List<Vehicle> cars = [];
        List<Component> parts = [];
        for (var i = 0; i < Members; i++)
        {
            members.Add(new()
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                Name = $"Member {i}",
                Email = $"member{i}@club{i % Domains}.example",
                CreatedAt = DateTime.UnixEpoch
            });
            Vehicle car = new()
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                MemberId = members[^1]
                .Id,
                Name = $"Car {i}",
                DistanceUnit = DistanceUnit.Mile,
                CreatedAt = DateTime.UnixEpoch
            };
            car.SetBuilt(DateSpan.Year(1987));
            cars.Add(car);
            parts.AddRange(new[] { "brake-hose-flexible", "timing-belt", "tyre-road", "fuel-hose-low-pressure" }.Select(
                kind => new Component
                {
                    ClubId = clubId,
                    Id = Guid.CreateVersion7(),
                    VehicleId = car.Id,
                    PartKind = kind,
                    Original = true,
                    CreatedAt = DateTime.UnixEpoch,
                }));
        }

        await db.PutAsync(members, default);
        await db.PutAsync(cars, default);
        await db.PutAsync(parts, default);
        return clubId;
    }
}
