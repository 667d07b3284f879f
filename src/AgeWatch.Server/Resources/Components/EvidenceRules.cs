using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

/// <summary>From evidence as it is sent in to its verdict and its row.</summary>
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
            errors.AddRange((await RefusalsAsync(item, today, caller, db, stop)).At(at));
            if (vehicle is not null && item.ToFitting() is { } fitting)
            {
                errors.AddRange(FittingRules.Refusals(fitting, vehicle, today).At(at));
            }
        }

        return errors;
    }

    public static async Task<IEnumerable<Refusal>> RefusalsAsync(
        EvidenceRequest item, DateOnly today, Caller caller, AgeWatchContext db, CancellationToken stop)
    {
        var isOwn = item.Convention is { } key
            && await db.ClubConventions.AnyAsync(c => c.ClubId == caller.ClubId && c.Key == key, stop);
        return EvidenceRecord.Check(item.ToRecord(), today, _ => isOwn);
    }

    public static EvidenceItem ToEntity(EvidenceRequest item, Component component, TimeProvider clock) => new()
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
