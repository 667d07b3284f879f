using System.ComponentModel.DataAnnotations;
using System.Text.Json.Nodes;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Changes;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Events;

/// <summary>What happened, in order and without gaps, for scripts that poll and for receivers that missed a
/// call.</summary>
internal static class EventEndpoints
{
    public static void MapEvents(this IEndpointRouteBuilder v1) =>
        v1.MapResource("/events", "Events", "What happened in the club, in order and without gaps.").ForOfficers()
            .MapGet("", ListAsync).Named("listEvents", "List the events after a sequence number");

    private static async Task<Tagged<EventsReply>> ListAsync(
        Query<EventFilter> query, AgeWatchContext db, CancellationToken stop)
    {
        var filter = query.Value;
        var events = db.Events.AsNoTracking().Where(e => e.Sequence > filter.After);
        events = filter.Type is { } type ? events.Where(e => e.Type == type) : events;
        var rows = await events.OrderBy(e => e.Sequence).Take(filter.Limit).ToListAsync(stop);
        return Reply.Of(new EventsReply([.. rows.Select(EventReply.From)], rows.Count > 0
            ? rows[^1].Sequence
            : filter.After));
    }
}

/// <param name="After">The last sequence number already seen; 0: from the start.</param>
internal sealed record EventFilter(
    [Range(0, long.MaxValue)] long After = 0, [StringLength(64, MinimumLength = 1)] string? Type = null,
    [Range(1, 500)] int Limit = 100);

/// <param name="Last">To be sent as after the next time, also when nothing is new.</param>
internal sealed record EventsReply(IReadOnlyList<EventReply> Items, long Last);

internal sealed record EventReply(
    long Sequence, string Type, DateTime At, Guid? SubjectId, Guid? VehicleId, JsonObject Data)
{
    public static EventReply From(ClubEvent e) =>
        new(e.Sequence, e.Type, e.At, e.SubjectId, e.VehicleId, JsonNode.Parse(e.Content)?.AsObject() ?? []);
}
