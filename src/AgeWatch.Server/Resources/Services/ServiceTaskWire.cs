using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Services;

namespace AgeWatch.Server.Resources.Services;

/// <summary>Repeated work with no part of its own.</summary>
/// <param name="PartKind">A key of the catalogue.</param>
/// <param name="Label">What people call it, where the kind alone does not tell.</param>
/// <param name="Reference">The club's own name for it, unique in the club.</param>
/// <param name="LastDone">Taken when the task is made; later each time it is done is a record.</param>
internal sealed record ServiceTaskRequest(
    [StringLength(64, MinimumLength = 1), OneLine] string PartKind,
    [StringLength(200, MinimumLength = 1), OneLine] string? Label = null,
    [StringLength(100, MinimumLength = 1), OneLine] string? Reference = null,
    [StringLength(4000)] string? Notes = null,
    ServiceRecordRequest? LastDone = null)
{
    public static ServiceTaskRequest From(ServiceTask t) => new(t.PartKind, t.Label, t.Reference, t.Notes);

    public void WriteTo(ServiceTask t, DateTime now)
    {
        t.PartKind = PartKind;
        t.Label = Label;
        t.Reference = Reference;
        t.Notes = Notes;
        t.UpdatedAt = now;
    }
}

/// <param name="LastDone">The latest record; null: never, as far as is known.</param>
internal sealed record ServiceTaskReply(
    Guid Id,
    Guid VehicleId,
    string PartKind,
    string? Label,
    string? Reference,
    string? Notes,
    ServiceRecordReply? LastDone,
    DateTime CreatedAt,
    DateTime UpdatedAt)
{
    public static ServiceTaskReply From(ServiceTask t, ServiceRecord? last) => new(
        t.Id, t.VehicleId, t.PartKind, t.Label, t.Reference, t.Notes, last is null
            ? null
            : ServiceRecordReply.From(last), t.CreatedAt, t.UpdatedAt);
}

/// <summary>One time that it was done.</summary>
/// <param name="Odometer">What the odometer showed.</param>
/// <param name="Hours">What the hours meter showed.</param>
internal sealed record ServiceRecordRequest(
    DateOnly On,
    WireDistance? Odometer = null,
    [StringLength(200), OneLine] string? NotedBy = null,
    [StringLength(4000)] string? Notes = null,
    [Range(0, Shown.MostHours)] decimal? Hours = null)
{
    public DoneRecord ToRecord() => new() { On = On, Odometer = Odometer?.Value, Hours = Hours };

    public DoneEvent ToEvent() => new() { On = On, Odometer = Odometer?.ShownOn(On), Hours = Hours, DoneBy = NotedBy };

    public static ServiceRecordRequest From(ServiceRecord r) =>
        new(
            r.DoneOn, FittingDistances.Shown(r.Thousandths, r.Unit), r.NotedBy, r.Notes,
            FittingDistances.Hours(r.Hours));

    public void WriteTo(ServiceRecord r)
    {
        r.DoneOn = On;
        r.Thousandths = FittingDistances.Thousandths(Odometer);
        r.Unit = Odometer?.Unit;
        r.Hours = FittingDistances.Thousandths(Hours);
        r.NotedBy = NotedBy;
        r.Notes = Notes;
    }
}

internal sealed record ServiceRecordReply(
    Guid Id, DateOnly On, WireDistance? Odometer, string? NotedBy, string? Notes, DateTime CreatedAt, decimal? Hours)
{
    public static ServiceRecordReply From(ServiceRecord r) =>
        new(
            r.Id, r.DoneOn, FittingDistances.Shown(r.Thousandths, r.Unit), r.NotedBy, r.Notes, r.CreatedAt,
            FittingDistances.Hours(r.Hours));
}
