using System.Diagnostics;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Server.Mail;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Resources.Imports;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Demo;

/// <summary><c>--demo</c>: an invented club, brought in by the ordinary import, with one night run, served like any
/// other.</summary>
internal sealed class DemoRun(
    AgeWatchContext db, Import import, NightLog nights, NightJob night, DigestOutbox outbox, DataOptions data,
    ClubOptions options, WorkerName worker, TimeProvider clock)
{
    // Of a worker that was killed with mail in hand; the next takes it when the claim has run out.
    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30);


    public const string Flag = "--demo";

    private const string Sheet = "demo-club.csv";

    /// <summary>What the demo sets when nobody else has; a value from the environment stands.</summary>
    public static string[] Defaults(string[] args)
    {
        (string Name, string Value)[] wanted =
        [
            ("AGEWATCH_DATA", "./data-demo"), ("AGEWATCH_CLUB", "Demo club"), ("AGEWATCH_ZONE", "Europe/London"),
            ("AGEWATCH_PUBLIC_URL", OwnAddress(args)),
        ];
        return
        [
            .. wanted.Where(setting =>
                setting.Value.Length > 0 && string.IsNullOrEmpty(Environment.GetEnvironmentVariable(setting.Name)))
                .Select(setting => $"--{Setting.KeyOf(setting.Name)}={setting.Value}"),
            .. args,
        ];
    }

    // So that the links in its mails open in the browser of this machine. Empty where only the start will tell the
    // port.
    private static string OwnAddress(string[] args)
    {
        var urls = Environment.GetEnvironmentVariable("AGEWATCH_URLS") is { Length: > 0 } set
            ? set
            : WebOptions.DefaultUrls;
        var isElsewhere = args.Any(arg =>
            arg.StartsWith($"--{Setting.KeyOf("AGEWATCH_URLS")}", StringComparison.OrdinalIgnoreCase));
        return !isElsewhere
            && Uri.TryCreate(urls.Split(';')[0].Trim(), UriKind.Absolute, out var first)
            && first.Port != 0
            ? first.GetLeftPart(UriPartial.Authority)
            : "";
    }

    /// <summary>The people are invented, so their mail never goes to a mail server, whatever is set and whoever sends
    /// it.</summary>
    public static void KeepMailHere(IServiceCollection services) => services.AddSingleton(provider => new MailChannels(
        new(), provider.GetRequiredService<DataOptions>(), provider.GetRequiredService<TimeProvider>()));

    /// <summary>Loads and shows the demo of a started program.</summary>
    public static async Task ShowAsync(WebApplication app)
    {
        await using var scope = app.Services.CreateAsyncScope();
        var stop = app.Lifetime.ApplicationStopping;
        try
        {
            await scope.ServiceProvider.GetRequiredService<DemoRun>().RunAsync(app.Urls.First(), Console.Out, stop);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            // Ctrl-C while it is still loading; the next start goes on from there.
        }
    }

    /// <summary>On a folder where it has run before it changes nothing and says the same.</summary>
    public async Task RunAsync(string address, TextWriter output, CancellationToken stop)
    {
        var since = clock.GetUtcNow().UtcDateTime;
        var club = await db.Clubs.AsNoTracking().AcrossClubs().OrderBy(c => c.CreatedAt).FirstAsync(stop);
        db.EnterClub(club.ClubId);
        await StepAsync(output, "Load the demo club", async () =>
        {
            await using var sheet = typeof(DemoRun).Assembly.GetManifestResourceStream(Sheet)!;
            var (_, faults) = await import.RunAsync(club.ClubId, sheet, SheetWords.None, dryRun: false, stop);
            return faults.Count == 0
                ? $"{await db.Vehicles.CountAsync(stop)} vehicles, {await db.Components.CountAsync(stop)} components"
                : throw new InvalidOperationException(
                    $"The demo sheet is wrong in line {faults[0].Line}, {faults[0].Column}: {faults[0].Detail}");
        });

        db.ChangeTracker.Clear();
        var today = clock.Today(club.TimeZone);
        await StepAsync(output, "Run the night", async () =>
        {
            await nights.ReleaseDeadAsync(worker, stop);
            return await night.RunAsync(club.ClubId, today, stop) ? "done" : "it has been run today";
        });
        await StepAsync(output, "Write the digests", () => WriteMailAsync(since, stop));

        await new DemoSummary(db).WriteAsync(output, today, Path.Combine(data.Folder, "mail"), stop);
        var vehicle = await db.Vehicles.AsNoTracking()
            .OrderBy(v => v.Reference)
            .FirstAsync(stop);
        await output.WriteLineAsync($"""

            Why is it due? Ask for the list of {vehicle.Name}:

              curl -s -H "Authorization: Bearer {Key()}" {address}/v1/vehicles/{vehicle.Id}/due

            Serving at {address}; Ctrl-C ends it.
            """);
    }

    // Through the outbox and its claims, because the worker of this program looks there too and may be first. What it
    // has taken is nearly written: wait for it, so that the summary finds the files.
    private async Task<string> WriteMailAsync(DateTime since, CancellationToken stop)
    {
        var began = clock.GetTimestamp();
        await outbox.SendDueAsync(stop);
        while (await IsTakenAsync(stop) && clock.GetElapsedTime(began) < LongestWait)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(100), clock, stop);
            await outbox.SendDueAsync(stop);
        }

        var written = await db.Digests.CountAsync(d => d.State == SendState.Accepted && d.AcceptedAt >= since, stop);
        var waiting = await db.Digests.AsNoTracking().Where(d => d.State == SendState.Waiting).ToListAsync(stop);
        return waiting.Count == 0
            ? $"{written} new"
            : $"{written} new, {waiting.Count} still to be written: "
                + (waiting.Find(d => d.LastReply is not null)?.LastReply ?? "another worker has them");
    }

    private Task<bool> IsTakenAsync(CancellationToken stop)
    {
        var now = clock.GetUtcNow().UtcDateTime;
        return db.Digests.AnyAsync(d => d.State == SendState.Waiting && d.LeaseUntil > now, stop);
    }

    // The key itself is never printed: what stands on a screen or in a log is copied on.
    private string Key() => options.FirstKey is { Length: > 0 } ? "$AGEWATCH_FIRST_KEY"
        : File.Exists(FirstKeyFile) ? $"$(cat '{Path.GetRelativePath(Environment.CurrentDirectory, FirstKeyFile)}')"
        : "<your key>";

    private string FirstKeyFile => Path.Combine(data.Folder, "first-officer-key.txt");

    private static async Task StepAsync(TextWriter output, string name, Func<Task<string>> work)
    {
        await output.WriteAsync($"{name} ... ");
        await output.FlushAsync();
        var watch = Stopwatch.StartNew();
        var said = await work();
        await output.WriteLineAsync($"{said} ({watch.Elapsed.TotalSeconds:0.0} s)");
    }
}
