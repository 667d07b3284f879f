using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Mail;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

internal enum DigestReach
{
    /// <summary>Nothing but what was subscribed to: it is not the day of the member's own digest.</summary>
    Nothing,

    OwnVehicles,

    /// <summary>Across the club: what can kill or injure and is past a limit or unknown, and all that must not be used.
    /// The rest is its owner's.</summary>
    Dangers,

    /// <summary>All vehicles and the shelf.</summary>
    Everything,
}

/// <summary>What one digest may speak of.</summary>
/// <param name="Subscriptions">The recipient's, as far as it is their day; they add to the scope.</param>
internal sealed record DigestScope(DigestReach Scope, IReadOnlyList<Subscription> Subscriptions)
{
    public bool IsNothing => Scope == DigestReach.Nothing && Subscriptions.Count == 0;

    /// <summary>What a digest of that kind could speak of to the member now, whatever the weekday: what its links may
    /// show.</summary>
    public static async Task<DigestScope> NowAsync(
        AgeWatchContext db, Member member, DigestKind kind, CancellationToken stop)
    {
        if (kind == DigestKind.Officer)
        {
            return new(member.IsOfficer ? DigestReach.Dangers : DigestReach.Nothing, []);
        }

        var isLone = await db.Members.CountAsync(stop) == 1;
        var subscriptions = await db.Subscriptions.AsNoTracking()
            .Where(s => s.MemberId == member.Id)
            .ToListAsync(stop);
        return new(isLone ? DigestReach.Everything : DigestReach.OwnVehicles, subscriptions);
    }

    /// <summary>The stored states within reach.</summary>
    /// <param name="isOpen">Only in the states asked for; else in any, so that what was told of can be seen to leave
    /// them.</param>
    public IQueryable<SubjectState> Rows(AgeWatchContext db, Member member, bool isOpen)
    {
        var all = db.DueStates.AsNoTracking();
        if (Scope is DigestReach.Everything or DigestReach.Dangers)
        {
            return all;
        }

        List<IQueryable<SubjectState>> parts = [];
        if (Scope == DigestReach.OwnVehicles)
        {
            parts.Add(all.Where(s =>
                db.Vehicles.Any(v => v.Id == s.VehicleId && v.MemberId == member.Id)));
        }

        foreach (var alike in Subscriptions.GroupBy(subscription =>
            (subscription.LeastHazard, subscription.LeastState)))
        {
            var grave = all.Where(s => s.Hazard <= alike.Key.LeastHazard);
            grave = isOpen ? grave.Where(s => s.State <= alike.Key.LeastState) : grave;
            var vehicles = alike.Select(subscription => subscription.VehicleId).Where(id => id is not null).ToList();
            parts.Add(alike.Any(subscription => subscription.WholeClub)
                ? grave
                : grave.Where(s => vehicles.Contains(s.VehicleId)));
        }

        return parts.Aggregate(Queryable.Union);
    }

    /// <summary>Those of them that are worth a line.</summary>
    public IQueryable<SubjectState> Open(IQueryable<SubjectState> rows) => Scope == DigestReach.Dangers
        ? rows.Where(s =>
            s.State == DueState.StopUse || (s.State <= DueState.InspectDue && s.Hazard <= HazardClass.Critical))
        : rows.Where(s => s.State < DueState.InLife);
}
