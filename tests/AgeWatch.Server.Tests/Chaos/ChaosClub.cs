using AgeWatch.Core;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Chaos;

/// <summary>Eight owners and an officer; each owner's car has three fluids that come due on days of the month known
/// beforehand.</summary>
internal static class ChaosClub
{
    public const int Owners = 8;
    public static readonly DateOnly FirstNight = new(2026, 12, 1);

    // Months after the last fill on which a look is due, and after half a year stale fuel is overdue: the catalogue's,
    // which any change of it will show here first.
    private static readonly (string Kind, int Months)[] Fluids = [
        ("clutch-fluid", 12), ("brake-fluid-silicone", 12), ("fuel-standing", 6)];

    public static string AddressOf(int owner) => $"owner{owner}@club.example";

    public static string CarOf(int owner) => $"Car-of-owner-{owner}";

    /// <summary>The night on which the state of the owner's fluid turns: the last fill lies so many months before
    /// it.</summary>
    public static DateOnly TurnsOn(int owner, int fluid) =>
        FirstNight.AddDays((owner * 5 + fluid * 11 + 2) % ChaosPlan.Nights);

    /// <summary>Whom a digest must reach on which night, from the facts alone.</summary>
    public static IEnumerable<(string Recipient, DateOnly Day)> Turns =>
        from owner in Enumerable.Range(1, Owners)
        from fluid in Enumerable.Range(0, Fluids.Length)
        select (
            AddressOf(owner), TurnsOn(owner, fluid));

    public static async Task FoundAsync(AgeWatchContext db, CancellationToken stop)
    {
        var clubId = await db.Clubs.Select(c => c.ClubId).SingleAsync(stop);
        db.Add(new Member
        {
            ClubId = clubId,
            Id = Guid.CreateVersion7(),
            Name = "Officer",
            Email = "officer@club.example",
            IsOfficer = true,
            CreatedAt = DateTime.UnixEpoch
        });
        for (var owner = 1; owner <= Owners; owner++)
        {
            Member member = new()
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                Name = $"Owner {owner}",
                Email = AddressOf(owner),
                CreatedAt = DateTime.UnixEpoch
            };
            Vehicle car = new()
            {
                ClubId = clubId,
                Id = Guid.CreateVersion7(),
                MemberId = member.Id,
                Name = CarOf(owner),
                DistanceUnit = DistanceUnit.Mile,
                CreatedAt = DateTime.UnixEpoch,
            };
            car.SetBuilt(DateSpan.Year(1987));
            db.AddRange(member, car);
            for (var fluid = 0; fluid < Fluids.Length; fluid++)
            {
                ServiceTask task = new()
                {
                    ClubId = clubId,
                    Id = Guid.CreateVersion7(),
                    VehicleId = car.Id,
                    PartKind = Fluids[fluid].Kind,
                    CreatedAt = DateTime.UnixEpoch
                };
                db.AddRange(task, new ServiceRecord
                {
                    ClubId = clubId,
                    Id = Guid.CreateVersion7(),
                    ServiceTaskId = task.Id,
                    DoneOn = TurnsOn(owner, fluid).AddMonths(-Fluids[fluid].Months),
                    CreatedAt = DateTime.UnixEpoch,
                });
            }
        }

        await db.SaveChangesAsync(stop);
    }
}
