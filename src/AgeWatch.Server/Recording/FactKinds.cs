using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Feeds;
using AgeWatch.Storage.Mail;
using AgeWatch.Storage.Marks;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using AgeWatch.Storage.WalkRounds;
using AgeWatch.Storage.Webhooks;

namespace AgeWatch.Server.Recording;

/// <summary>What somebody tells us, and how much of it the change log repeats.</summary>
/// <remarks>What is not named here has no line, so that a secret cannot get into the log by a new way to
/// write.</remarks>
internal static class FactKinds
{
    private static readonly Dictionary<Type, LoggedMembers> Known = new()
    {
        [typeof(Vehicle)] = LoggedMembers.All,
        [typeof(Instrument)] = LoggedMembers.All,
        [typeof(OdometerReading)] = LoggedMembers.All,
        [typeof(HourReading)] = LoggedMembers.All,
        [typeof(VehiclePeriod)] = LoggedMembers.All,
        [typeof(UsualDistance)] = LoggedMembers.All,
        [typeof(WalkNote)] = LoggedMembers.All,
        [typeof(Component)] = LoggedMembers.All,
        [typeof(Fitting)] = LoggedMembers.All,
        [typeof(EvidenceItem)] = LoggedMembers.All,
        [typeof(ServiceTask)] = LoggedMembers.All,
        [typeof(ServiceRecord)] = LoggedMembers.All,
        [typeof(InspectionFinding)] = LoggedMembers.All,
        [typeof(GrantedDeferral)] = LoggedMembers.All,
        [typeof(OwnLimit)] = LoggedMembers.All,
        [typeof(ClubConvention)] = LoggedMembers.All,
        [typeof(Subscription)] = LoggedMembers.All,

        // A person can ask to be forgotten: that the record changed is kept, what it said is not.
        [typeof(Member)] = LoggedMembers.None,

        // Even the last four characters of a key are a part of it.
        [typeof(Key)] = LoggedMembers.Only(
            nameof(Key.Name), nameof(Key.Role), nameof(Key.MemberId), nameof(Key.ExpiresAt), nameof(Key.RevokedAt)),
        [typeof(Feed)] = LoggedMembers.Only(
            nameof(Feed.Name), nameof(Feed.MemberId), nameof(Feed.VehicleId), nameof(Feed.LeastHazard),
            nameof(Feed.LeastState), nameof(Feed.RevokedAt)),

        // The address of a chat hook opens the chat to whoever has it.
        [typeof(Webhook)] = LoggedMembers.Only(
            nameof(Webhook.Name), nameof(Webhook.EventTypes), nameof(Webhook.VehicleId), nameof(Webhook.LeastHazard),
            nameof(Webhook.LeastState), nameof(Webhook.DisabledAt), nameof(Webhook.DisabledReason),
            nameof(Webhook.PreviousSecretUntil)) with
        {
            Withheld = [nameof(Webhook.Url), nameof(Webhook.Secret)],
        },
    };

    public static IReadOnlyCollection<Type> All => Known.Keys;

    public static bool Include(Type type) => Known.ContainsKey(type);

    public static LoggedMembers Of(Type type) => Known[type];
}

/// <summary>Which members of a record the change log repeats.</summary>
internal sealed record LoggedMembers
{
    // They tell of the row, not of the fact.
    private static readonly HashSet<string> OfTheRow = [
        nameof(ITenantRow.ClubId), nameof(ITenantRow.Id), nameof(IVersioned.Version), nameof(Vehicle.CreatedAt),
        nameof(Vehicle.UpdatedAt)];

    public static readonly LoggedMembers All = new();

    public static readonly LoggedMembers None = new() { AreWithheld = true };

    /// <summary>The line says that there is or was a record, or that it changed, and no more.</summary>
    public bool AreWithheld { get; private init; }

    /// <summary>Said to have changed, without their values.</summary>
    public IReadOnlyCollection<string> Withheld { get; init; } = [];

    // Null: all of them.
    private HashSet<string>? Told { get; init; }

    public static LoggedMembers Only(params string[] told) => new() { Told = [.. told] };

    public bool Names(string member) =>
        !OfTheRow.Contains(member) && (Told is null || Told.Contains(member) || Withheld.Contains(member));
}
