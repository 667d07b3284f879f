using System.Diagnostics;
using AgeWatch.Server.Demo;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Outbox;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Demo;

public sealed class DemoRunTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Run_twice_it_loads_once_and_says_the_same(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);

        var first = await ShowAsync(database);
        var second = await ShowAsync(database);

        Assert.Equal(Curl(first), Curl(second));
        var keyFile = Path.Combine(database.Folder, "first-officer-key.txt");
        Assert.Contains("first-officer-key.txt')\"", Curl(first), StringComparison.Ordinal);
        Assert.DoesNotContain((await File.ReadAllTextAsync(keyFile, Stop)).Trim(), first, StringComparison.Ordinal);
        await using var db = database.Open();
        Assert.Equal(
            (12, 25, 1),
            (
                await db.Members.CountAsync(Stop), await db.Vehicles.CountAsync(Stop),
                await db.NightRuns.CountAsync(Stop)));
        var digests = await db.Digests.AsNoTracking()
            .Select(d => new { d.MemberId, d.Kind, d.State })
            .ToListAsync(Stop);
        Assert.NotEmpty(digests);
        Assert.Equal(digests.Count, digests.Distinct().Count());
        Assert.All(digests, digest => Assert.Equal(SendState.Accepted, digest.State));
        Assert.Equal(digests.Count, Directory.GetFiles(Path.Combine(database.Folder, "mail"), "*.eml").Length);
    }

    /// <summary>The worker looks into the outbox every few seconds, so it can come between any two steps of the demo;
    /// under load it did, and the program was gone.</summary>
    [Theory, OnBothDatabases]
    public async Task It_goes_on_when_the_worker_takes_the_mail_first(DatabaseKind kind)
    {
        MomentClock clock = new();
        await using var app = await StartAsync(kind, clock);
        StringWriter output = new();
        var sent = 0;
        clock.ArmWhen(
            () => output.ToString().Contains("Write the digests", StringComparison.Ordinal),
            async () => sent = await app.Services.GetRequiredService<DigestOutbox>().SendDueAsync(Stop));

        await RunAsync(app, output);

        Assert.InRange(sent, 1, 100);
        Assert.Contains($"{sent} new (", output.ToString(), StringComparison.Ordinal);
        await using var db = app.Database.Open();
        Assert.All(
            await db.Digests.AsNoTracking().ToListAsync(Stop),
            digest => Assert.Equal((SendState.Accepted, 1), (digest.State, digest.Attempts)));
    }

    /// <summary>A claim of another worker runs; it is let go only after the demo has looked.</summary>
    [Theory, OnBothDatabases]
    public async Task It_waits_for_mail_that_a_worker_has_in_hand(DatabaseKind kind)
    {
        MomentClock clock = new();
        await using var app = await StartAsync(kind, clock);
        StringWriter output = new();
        clock.ArmWhen(
            () => output.ToString().Contains("Write the digests", StringComparison.Ordinal),
            async () =>
            {
                await using var db = app.Database.Open();
                var now = TimeProvider.System.GetUtcNow().UtcDateTime;
                Assert.NotNull(
                    await Claim.TakeAsync(db, Claim.Digests, now, TimeSpan.FromSeconds(1), 100, Stop));
            });

        await RunAsync(app, output);

        Assert.DoesNotContain("still to be written", output.ToString(), StringComparison.Ordinal);
        await using var db = app.Database.Open();
        Assert.All(
            await db.Digests.AsNoTracking().ToListAsync(Stop),
            digest => Assert.Equal(SendState.Accepted, digest.State));
    }

    /// <summary>The mail server that is set is not even asked: nobody listens at that port.</summary>
    [Theory, OnBothDatabases]
    public async Task Its_mail_goes_to_no_mail_server_whoever_sends_it(DatabaseKind kind)
    {
        await using var app = await StartAsync(kind, new(), ("AGEWATCH_SMTP", "smtp://127.0.0.1:1"));
        StringWriter output = new();

        await RunAsync(app, output);

        Assert.DoesNotContain("still to be written", output.ToString(), StringComparison.Ordinal);
        Assert.NotEmpty(Directory.GetFiles(Path.Combine(app.Database.Folder, "mail"), "*.eml"));
    }

    private static Task<TestApp> StartAsync(
        DatabaseKind kind, MomentClock clock, params (string Name, string Value)[] settings) =>
        TestApp.StartWithAsync(
            kind,
            services =>
            {
                DemoRun.KeepMailHere(services);
                services.AddSingleton<TimeProvider>(clock);
            },
            settings: [("AGEWATCH_ROLE", "api"), .. settings]);

    private static Task<int> RunAsync(TestApp app, TextWriter output) => app.InScopeAsync(async services =>
    {
        await services.GetRequiredService<DemoRun>().RunAsync("http://127.0.0.1", output, Stop);
        return 0;
    });

    /// <summary>The line to paste, with the port taken out: it is another each time here.</summary>
    private static string Curl(string output)
    {
        var line = output.Split('\n').Single(line => line.Contains("curl -s -H", StringComparison.Ordinal));
        return line.Split("http://")[0] + line.Split("/v1/")[1];
    }

    private static async Task<string> ShowAsync(TestDatabase database)
    {
        await using var app = OutOfProcessApp.Launch(database.Settings, "--demo");
        for (var waited = Stopwatch.StartNew(); !app.Output.Contains(
            "Ctrl-C ends it", StringComparison.Ordinal); await Task.Delay(50, Stop))
        {
            Assert.True(waited.Elapsed < Patience && !app.HasExited, app.Output);
        }

        Assert.Equal(0, await app.TerminateAsync());
        return app.Output;
    }

    /// <summary>The real time, and something that happens once while somebody asks for it.</summary>
    private sealed class MomentClock : TimeProvider
    {
        private Func<bool>? _isNow;
        private Func<Task>? _happens;

        public void ArmWhen(Func<bool> isNow, Func<Task> happens) => (_isNow, _happens) = (isNow, happens);

        public override DateTimeOffset GetUtcNow()
        {
            if (_isNow?.Invoke() == true && Interlocked.Exchange(ref _happens, null) is { } happens)
            {
                Task.Run(happens).GetAwaiter().GetResult();
            }

            return base.GetUtcNow();
        }
    }
}
