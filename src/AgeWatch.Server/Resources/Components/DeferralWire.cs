using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Components;

/// <summary>A decision to run past a limit: until a day and a distance, whichever comes first.</summary>
/// <param name="Person">Who decided.</param>
/// <param name="UntilOn">The last day it holds.</param>
/// <param name="UntilOdometer">The odometer at which it ends.</param>
/// <param name="DecidedOn">Absent: today.</param>
internal sealed record DeferralRequest(
    [StringLength(1000, MinimumLength = 1), OneLine] string Reason,
    [StringLength(200, MinimumLength = 1), OneLine] string Person,
    DateOnly UntilOn,
    WireDistance UntilOdometer,
    DateOnly? DecidedOn = null)
{
    public DeferralRecord ToRecord(string partKind) => new()
    {
        PartKind = partKind,
        DecidedOn = DecidedOn,
        UntilOn = UntilOn,
        UntilOdometer = UntilOdometer.Value,
    };

    public Deferral ToDeferral() => new()
    {
        Reason = Reason,
        Person = Person,
        DecidedOn = DecidedOn,
        UntilOn = UntilOn,
        UntilShown = UntilOdometer.ShownOn(DecidedOn ?? UntilOn),
    };

    public GrantedDeferral ToEntity(Guid clubId, Subject subject, DateOnly today, TimeProvider clock) => new()
    {
        ClubId = clubId,
        Id = Guid.CreateVersion7(clock.GetUtcNow()),
        ComponentId = subject.ComponentId,
        ServiceTaskId = subject.ServiceTaskId,
        Reason = Reason,
        Person = Person,
        DecidedOn = DecidedOn ?? today,
        UntilOn = UntilOn,
        UntilThousandths = (long)decimal.Floor(UntilOdometer.Value * 1000m),
        UntilUnit = UntilOdometer.Unit,
        CreatedAt = clock.GetUtcNow().UtcDateTime,
    };
}

internal sealed record EndRequest([StringLength(1000, MinimumLength = 1), OneLine] string Reason);

internal sealed record DeferralReply(
    Guid Id,
    string Reason,
    string Person,
    DateOnly DecidedOn,
    DateOnly UntilOn,
    WireDistance UntilOdometer,
    DateTime CreatedAt,
    DateTime? EndedAt,
    string? EndedReason)
{
    public static DeferralReply From(GrantedDeferral d) => new(
        d.Id, d.Reason, d.Person, d.DecidedOn, d.UntilOn, new WireDistance(d.UntilThousandths / 1000m, d.UntilUnit),
        d.CreatedAt, d.EndedAt, d.EndedReason);
}
