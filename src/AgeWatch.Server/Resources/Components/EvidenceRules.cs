using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>What evidence must not say: days that cannot be, conventions that nobody has described.</summary>
internal static class EvidenceRules
{
    /// <param name="vehicle">Null: the part is on the shelf.</param>
    public static async Task<List<FieldError>> ErrorsAsync(
        IReadOnlyList<EvidenceRequest> evidence, Vehicle? vehicle, Caller caller, AgeWatchContext db, FactWriter writer,
        CancellationToken stop)
    {
        var today = await writer.TodayAsync(caller.ClubId, stop);
        List<FieldError> errors = [];
        foreach (var (index, item) in evidence.Index())
        {
            var at = JsonAt.Item("#/evidence", index);
            errors.AddRange(await ErrorsAsync(item, at, today, caller, db, stop));
            if (item.Kind == EvidenceKind.Fitted)
            {
                errors.AddRange(vehicle is null
                    ? [new("not-on-a-vehicle", "A part on the shelf is fitted nowhere.", at)]
                    : FittingRules.DayErrors(item.On, vehicle, JsonAt.Member(at, "on")));
            }
        }

        return errors;
    }

    public static async Task<List<FieldError>> ErrorsAsync(
        EvidenceRequest item, string at, DateOnly today, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        List<FieldError> errors = [];
        if (Days.InTheFuture(item.On, today, JsonAt.Member(at, "on")) is { } late)
        {
            errors.Add(late);
        }

        if (await ConventionErrorAsync(
            item.Convention, JsonAt.Member(at, "convention"), caller, db, stop) is { } unknown)
        {
            errors.Add(unknown);
        }

        return errors;
    }

    public static async Task<FieldError?> ConventionErrorAsync(
        string? convention, string at, Caller caller, AgeWatchContext db, CancellationToken stop) =>
        convention is null or MarkQuestion.Undeclared || MarkConventions.Find(convention) is not null
        || await db.ClubConventions.AnyAsync(c => c.Key == convention, stop)
            ? null
            : new("unknown-convention", "There is no such mark convention; GET /v1/mark-conventions lists them.", at);

    public static EvidenceRow ToRow(EvidenceRequest item, Component component, TimeProvider clock) => new()
    {
        ClubId = component.ClubId,
        Id = Guid.CreateVersion7(clock.GetUtcNow()),
        ComponentId = component.Id,
        Kind = item.Kind switch
        {
            EvidenceKind.Mark => EvidenceRowKind.Mark,
            EvidenceKind.Document => EvidenceRowKind.Document,
            EvidenceKind.Plate => EvidenceRowKind.Plate,
            EvidenceKind.Fill => EvidenceRowKind.Fill,
            EvidenceKind.Service => EvidenceRowKind.Service,
            EvidenceKind.Regulatory => EvidenceRowKind.Regulatory,
            EvidenceKind.Fitted or EvidenceKind.Presumption =>
                throw new ArgumentException("Not a row of evidence.", nameof(item)),
        },
        Text = item.Text,
        Convention = item.Convention,
        On = item.On,
        NotedBy = item.NotedBy,
        PhotoUrl = item.Photo?.Url,
        PhotoSha256 = item.Photo?.Sha256,
        Triangle = item.Triangle,
        Thousandths = FittingDistances.Thousandths(item.Odometer),
        Unit = item.Odometer?.Unit,
        Hours = FittingDistances.Thousandths(item.Hours),
        RecordedAt = clock.GetUtcNow().UtcDateTime,
    };
}
