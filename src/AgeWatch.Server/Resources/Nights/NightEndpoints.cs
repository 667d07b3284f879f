using System.Globalization;
using System.Reflection;
using System.Text.Json;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Server.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Nights;
using Hangfire;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Nights;

internal static class NightEndpoints
{
    public static void MapNightRuns(this IEndpointRouteBuilder v1)
    {
        var nights = v1.MapResource(
            "/night-runs", "Night runs", "The worker's pass over the club at its local night: one per local day.");
        nights.MapPost("", Start)
            .ForOfficers()
            .Named("startNightRun", "Run tonight's pass now; asked again, it does what is left of it.");
        nights.MapGet("", List).ForOfficers().Named("listNightRuns", "List night runs, the latest first.");
        nights.MapGet("/{localDate}", Get).ForOfficers().Named("getNightRun", "Read what a night run did.");
    }

    private static async Task<Results<NightAccepted, Problem>> Start(
        OptionalBody<NightRequest> body,
        Caller caller,
        AgeWatchContext db,
        NightLog log,
        TimeProvider clock,
        IServiceProvider services,
        CancellationToken stop)
    {
        var zone = await db.Clubs.Select(c => c.TimeZone).SingleAsync(stop);
        var today = clock.Today(zone);
        if (body.Value?.LocalDate is { } wished && wished != today)
        {
            return Problems.Invalid(
                "#/localDate", "not-today",
                $"A night can be run for the club's present day only, which is {today:yyyy-MM-dd}.");
        }

        await log.AskAsync(caller.ClubId, today, body.Value?.Full == true, stop);
        if (services.GetService<IBackgroundJobClient>() is { } jobs)
        {
            // Without a worker in this process, the bell of another finds the row within a minute.
            ScheduledJobs.Enqueue(jobs, new(caller.ClubId, today));
        }

        return new NightAccepted(NightReply.From(
            await Of(db, today)
                .SingleAsync(stop), await NightAssessment.ProgressAsync(db, caller.ClubId, stop)));
    }

    private static Task<Page<NightReply>> List(
        PageQuery page, AgeWatchContext db, CancellationToken stop) => page.ReadAsync(
        db.NightRuns.AsNoTracking(), Keyset.Down((NightRun n) => n.LocalDate), n => NightReply.From(n), stop);

    private static async Task<Results<Tagged<NightReply>, Problem>> Get(
        string localDate, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        DateOnly.TryParseExact(localDate, "O", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)
        && await Of(db, day).SingleOrDefaultAsync(stop) is { } night
            ? Reply.Of(
                night,
                NightReply.From(night, night.Status == NightRunStatus.Done
                    ? null
                    : await NightAssessment.ProgressAsync(db, caller.ClubId, stop)))
            : Problems.NotFound();

    private static IQueryable<NightRun> Of(AgeWatchContext db, DateOnly day) =>
        db.NightRuns.AsNoTracking().Where(n => n.LocalDate == day);
}

/// <param name="LocalDate">The club's present day; absent: the same.</param>
/// <param name="Full">Work out every answer again, also those that cannot have changed.</param>
internal sealed record NightRequest(DateOnly? LocalDate = null, bool Full = false);

internal sealed record NightReply
{
    public required DateOnly LocalDate { get; init; }

    public required NightRunStatus Status { get; init; }

    public required DateTime StartedAt { get; init; }

    public required DateTime? FinishedAt { get; init; }

    public required int Attempts { get; init; }

    public required int Assessed { get; init; }

    public required int Changed { get; init; }

    public required int Digests { get; init; }

    public required string? Error { get; init; }

    /// <summary>How far the working out of every answer has come; null: none is under way, or the night
    /// stands in a list.</summary>
    public required PassProgress? FullPass { get; init; }

    public static NightReply From(NightRun n, PassProgress? fullPass = null) => new()
    {
        LocalDate = n.LocalDate,
        Status = n.Status,
        StartedAt = n.StartedAt,
        FinishedAt = n.FinishedAt,
        Attempts = n.Attempts,
        Assessed = n.Assessed,
        Changed = n.Changed,
        Digests = n.Digests,
        Error = n.Error,
        FullPass = fullPass,
    };
}

/// <summary>202: Location says where to look how far it is.</summary>
internal sealed class NightAccepted(NightReply night) : IResult, IEndpointMetadataProvider
{
    public Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        response.StatusCode = StatusCodes.Status202Accepted;
        response.Headers.Location = $"{httpContext.BaseAddress()}/v1/night-runs/{night.LocalDate:yyyy-MM-dd}";
        Reply.SetPrivate(response);
        return Reply.WriteAsync(response, JsonSerializer.SerializeToUtf8Bytes(night, WireJson.Options));
    }

    public static void PopulateMetadata(MethodInfo method, EndpointBuilder builder) =>
        builder.Metadata.Add(new ProducesResponseTypeMetadata(
            StatusCodes.Status202Accepted, typeof(NightReply), ["application/json"]));
}
