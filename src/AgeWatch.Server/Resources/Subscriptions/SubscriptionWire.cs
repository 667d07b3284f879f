using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Mail;

namespace AgeWatch.Server.Resources.Subscriptions;

/// <param name="VehicleId">One vehicle, of whomever.</param>
/// <param name="WholeClub">Every vehicle of the club, and its shelf.</param>
/// <param name="LeastHazard">This class and worse.</param>
/// <param name="LeastState">This state and worse; unknown stands between overdue and inspect-due.</param>
/// <param name="Rhythm">Of this subscription, whatever the rhythm of the member's own digest; never: kept and
/// quiet.</param>
/// <param name="Weekday">The local weekday of a weekly rhythm.</param>
/// <param name="PausedUntil">Not before this day.</param>
internal sealed record SubscriptionRequest(
    Guid MemberId,
    Guid? VehicleId = null,
    bool WholeClub = false,
    HazardClass LeastHazard = HazardClass.Negligible,
    DigestRhythm Rhythm = DigestRhythm.Nightly,
    DayOfWeek Weekday = DayOfWeek.Monday,
    DateOnly? PausedUntil = null,
    DueState LeastState = DueState.DueSoon) : IChecked
{
    public static SubscriptionRequest From(Subscription s) =>
        new(s.MemberId, s.VehicleId, s.WholeClub, s.LeastHazard, s.Rhythm, s.Weekday, s.PausedUntil, s.LeastState);

    public void Check(FieldFaults faults)
    {
        if (WholeClub == VehicleId is not null)
        {
            faults.Add(
                nameof(VehicleId), "one-of",
                "Give either a vehicleId or wholeClub; a member's own vehicles need no subscription.");
        }

        if (LeastState == DueState.InLife)
        {
            faults.Add(
                nameof(LeastState), "nothing-due",
                "A digest does not tell of what is in life; due-soon is the mildest.");
        }
    }

    public void WriteTo(Subscription s) =>
        (s.VehicleId, s.WholeClub, s.LeastHazard, s.LeastState, s.Rhythm, s.Weekday, s.PausedUntil) =
        (VehicleId, WholeClub, LeastHazard, LeastState, Rhythm, Weekday, PausedUntil);
}

internal sealed record SubscriptionReply
{
    public required Guid Id { get; init; }

    public required Guid MemberId { get; init; }

    public required Guid? VehicleId { get; init; }

    public required bool WholeClub { get; init; }

    public required HazardClass LeastHazard { get; init; }

    public required DigestRhythm Rhythm { get; init; }

    public required DayOfWeek Weekday { get; init; }

    public required DateOnly? PausedUntil { get; init; }

    public required DueState LeastState { get; init; }

    public required DateTime CreatedAt { get; init; }

    public static SubscriptionReply From(Subscription s) => new()
    {
        Id = s.Id,
        MemberId = s.MemberId,
        VehicleId = s.VehicleId,
        WholeClub = s.WholeClub,
        LeastHazard = s.LeastHazard,
        Rhythm = s.Rhythm,
        Weekday = s.Weekday,
        PausedUntil = s.PausedUntil,
        LeastState = s.LeastState,
        CreatedAt = s.CreatedAt,
    };
}
