using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>Invented vehicles and what happens to each, the same for the same seed in whichever club.</summary>
internal sealed class RandomHistory(Guid clubId, int seed)
{
    private static readonly PartKind[] Parts = [.. PartCatalogue.BuiltIn.All.Where(kind =>
        kind.Form == PartForm.Component)];
    private static readonly PartKind[] Works = [.. PartCatalogue.BuiltIn.All.Where(kind =>
        kind.Form == PartForm.ServiceTask)];
    private static readonly string[] Marks = [
        "0115", "3/94", "10/1/96", "2018-05", "12 04 92", "illegible", "0321", "05/2030"];

    private readonly Random _random = new(seed);
    private readonly List<(Guid Id, DistanceUnit Unit, Guid Instrument, DateOnly Built)> _vehicles = [];
    private readonly List<Guid> _components = [];
    private readonly List<Guid> _tasks = [];
    private int _made;

    public Guid ClubId => clubId;

    public IEnumerable<object> Begin(int vehicles, DateOnly today)
    {
        for (var i = 0; i < vehicles; i++)
        {
            foreach (var row in NewVehicle(today))
            {
                yield return row;
            }
        }

        if (_random.Next(2) == 0)
        {
            yield return new UsualDistance
            {
                ClubId = clubId,
                Id = NewId(),
                Kind = VehicleKind.Car,
                Metres = _random.Next(500, 20_000) * 1000L
            };
        }

        foreach (var row in NewPart(null, today).Concat(NewPart(null, today)))
        {
            yield return row;
        }
    }

    /// <summary>What a day brings, about one thing a vehicle: new facts, or an action that changes what is
    /// there.</summary>
    public IEnumerable<object> Change(DateOnly today) =>
        _vehicles.Select(_ => Pick(_vehicles)).ToList().SelectMany(vehicle => Change(vehicle, today));

    private IEnumerable<object> Change(
        (Guid Id, DistanceUnit Unit, Guid Instrument, DateOnly Built) vehicle, DateOnly today)
    {
        switch (_random.Next(10))
        {
            case 0 or 1:
                yield return Reading(
                    vehicle.Id, vehicle.Instrument, today,
                    40_000_000 + (today.DayNumber - vehicle.Built.DayNumber) * _random.Next(3_000, 30_000));
                break;
            case 2:
                yield return Finding(today);
                break;
            case 3:
                yield return Deferral(today, vehicle.Unit);
                break;
            case 4:
                foreach (var row in NewPart(vehicle.Id, today))
                {
                    yield return row;
                }

                break;
            case 5 when _random.Next(3) == 0:
                yield return Temperature(vehicle.Id, today);
                break;
            case 5:
                yield return new VehiclePeriod
                {
                    ClubId = clubId,
                    Id = NewId(),
                    VehicleId = vehicle.Id,
                    Kind = VehiclePeriodKind.Standing,
                    FromOn = today.AddDays(_random.Next(-60, 20)),
                    UntilOn = _random.Next(2) == 0 ? null : today.AddDays(_random.Next(20, 300)),
                };
                break;
            case 6:
                var component = Pick(_components);
                var place = _random.Next(3);
                yield return (AgeWatchContext db, CancellationToken stop) =>
                    MoveAsync(db, component, place, vehicle.Id, today, stop);
                break;
            case 7:
                var gone = today.AddDays(_random.Next(1, 200));
                yield return (AgeWatchContext db, CancellationToken stop) =>
                    db.Vehicles.Where(v => v.ClubId == clubId && v.Id == vehicle.Id)
                    .ExecuteUpdateAsync(set =>
                        set.SetProperty(v => v.GoneOn, v => v.GoneOn == null ? gone : null), stop);
                break;
            case 8 when _tasks.Count > 0:
                yield return Record(Pick(_tasks), today, vehicle.Unit);
                break;
            default:
                break;
        }
    }

    public static async Task ApplyAsync(AgeWatchContext db, IEnumerable<object> rows, CancellationToken stop)
    {
        foreach (var row in rows)
        {
            if (row is Func<AgeWatchContext, CancellationToken, Task> change)
            {
                await change(db, stop);
            }
            else
            {
                db.Add(row);
            }
        }
    }

    private async Task MoveAsync(
        AgeWatchContext db, Guid id, int place, Guid vehicleId, DateOnly today, CancellationToken stop)
    {
        var part = (await db.Components.FindAsync([clubId, id], stop))!;
        part.Place = (ComponentPlace)place;
        part.VehicleId = part.Place == ComponentPlace.Fitted ? vehicleId : null;
        part.DiscardedOn = part.Place == ComponentPlace.Discarded ? today : null;
    }

    private IEnumerable<object> NewVehicle(DateOnly today)
    {
        Vehicle vehicle = new()
        {
            ClubId = clubId,
            Id = NewId(),
            Name = $"Car {_made}",
            Country = Pick(["GB", "DE", "US", null]),
            DistanceUnit = Pick([DistanceUnit.Mile, DistanceUnit.Kilometre]),
            Storage = Pick(Enum.GetValues<StoragePlace>()),
            DeclaredMetresPerYear = _random.Next(2) == 0 ? _random.Next(500, 20_000) * 1000L : null,
            SeasonFrom = _random.Next(3) == 0 ? "04-01" : null,
            GoneOn = _random.Next(5) == 0 ? today.AddDays(_random.Next(1, 400)) : null,
            CreatedAt = DateTime.UnixEpoch,
        };
        if (_random.Next(2) == 0)
        {
            (
                vehicle.HeatCounts, vehicle.HeatEnergy, vehicle.HeatSpread, vehicle.HeatReference,
                vehicle.HeatSource) = (true, 954, 100, 20_000, "Sandia 1993");
        }

        vehicle.SeasonTo = vehicle.SeasonFrom is null ? null : "10-31";
        var built = new DateOnly(_random.Next(1965, 2012), _random.Next(1, 13), 1);
        vehicle.SetBuilt(_random.Next(6) == 0
            ? null
            : _random.Next(2) == 0
            ? DateSpan.Year(built.Year)
            : DateSpan.Month(built.Year, built.Month));
        Instrument instrument = new()
        {
            ClubId = clubId,
            Id = NewId(),
            VehicleId = vehicle.Id,
            Label = "main",
            Unit = vehicle.DistanceUnit
        };
        _vehicles.Add((vehicle.Id, vehicle.DistanceUnit, instrument.Id, built));
        yield return vehicle;
        yield return instrument;
        var shown = 40_000_000L;
        var readings = _random.Next(4);
        for (var i = readings; i > 0; i--)
        {
            shown += _random.Next(100_000, 9_000_000);
            yield return Reading(vehicle.Id, instrument.Id, today.AddDays(-i * _random.Next(100, 300)), shown);
        }

        if (_random.Next(3) == 0)
        {
            yield return new VehiclePeriod
            {
                ClubId = clubId,
                Id = NewId(),
                VehicleId = vehicle.Id,
                Kind = VehiclePeriodKind.Standing,
                FromOn = today.AddDays(_random.Next(-200, 40))
            };
        }

        if (_random.Next(2) == 0)
        {
            yield return Temperature(vehicle.Id, today);
        }

        if (_random.Next(3) == 0)
        {
            var from = today.AddDays(_random.Next(5, 200));
            yield return new VehiclePeriod
            {
                ClubId = clubId,
                Id = NewId(),
                VehicleId = vehicle.Id,
                Kind = VehiclePeriodKind.Trip,
                FromOn = from,
                UntilOn = from.AddDays(10),
                Metres = 3_000_000,
            };
        }

        var parts = _random.Next(2, 6);
        for (var i = 0; i < parts; i++)
        {
            foreach (var row in NewPart(vehicle.Id, today))
            {
                yield return row;
            }
        }

        var tasks = _random.Next(1, 3);
        for (var i = 0; i < tasks; i++)
        {
            ServiceTask task = new()
            {
                ClubId = clubId,
                Id = NewId(),
                VehicleId = vehicle.Id,
                PartKind = Pick(Works)
                .Key,
                CreatedAt = DateTime.UnixEpoch
            };
            _tasks.Add(task.Id);
            yield return task;
            if (_random.Next(3) > 0)
            {
                yield return Record(task.Id, today.AddDays(-_random.Next(0, 1500)), vehicle.DistanceUnit);
            }
        }
    }

    private IEnumerable<object> NewPart(Guid? vehicleId, DateOnly today)
    {
        Component part = new()
        {
            ClubId = clubId,
            Id = NewId(),
            VehicleId = vehicleId,
            Place = vehicleId is null ? ComponentPlace.Shelf : ComponentPlace.Fitted,
            PartKind = Pick(Parts).Key,
            Original = vehicleId is not null && _random.Next(4) == 0,
            CreatedAt = DateTime.UnixEpoch,
        };
        _components.Add(part.Id);
        yield return part;
        if (vehicleId is { } on && !part.Original && _random.Next(4) > 0)
        {
            yield return new Fitting
            {
                ClubId = clubId,
                Id = NewId(),
                ComponentId = part.Id,
                VehicleId = on,
                FittedOn = today.AddDays(-_random.Next(0, 4000)),
                FittedThousandths = _random.Next(2) == 0 ? 40_000_000 + _random.Next(9_000_000) : null,
                FittedUnit = DistanceUnit.Mile,
                FittedHours = _random.Next(3) == 0 ? _random.Next(2_000_000) : null,
                RecordedAt = DateTime.UnixEpoch,
            };
        }

        if (_random.Next(2) == 0)
        {
            yield return new EvidenceItem
            {
                ClubId = clubId,
                Id = NewId(),
                ComponentId = part.Id,
                Kind = _random.Next(4) == 0 ? EvidenceRowKind.Document : EvidenceRowKind.Mark,
                Text = Pick(Marks),
                On = today.AddDays(-_random.Next(0, 2000)),
                RecordedAt = DateTime.UnixEpoch,
            };
        }

        if (_random.Next(4) == 0)
        {
            var byDistance = _random.Next(2) == 0;
            yield return new OwnLimit
            {
                ClubId = clubId,
                Id = NewId(),
                ComponentId = part.Id,
                Level = Pick(Enum.GetValues<LimitLevel>()),
                Anchor = AgeAnchor.Fitting,
                Months = byDistance ? null : _random.Next(12, 150),
                Metres = byDistance ? _random.Next(5_000, 100_000) * 1000L : null,
                Hours = _random.Next(3) == 0 ? _random.Next(20, 2_000) : null,
                Tag = Tag.Maker,
                CreatedAt = DateTime.UnixEpoch,
            };
        }
    }

    private VehiclePeriod Temperature(Guid vehicleId, DateOnly today)
    {
        var from = today.AddDays(_random.Next(-3000, 100));
        return new()
        {
            ClubId = clubId,
            Id = NewId(),
            VehicleId = vehicleId,
            Kind = VehiclePeriodKind.Temperature,
            FromOn = from,
            UntilOn = _random.Next(2) == 0 ? null : from.AddDays(_random.Next(0, 4000)),
            MilliCelsius = _random.Next(-10_000, 45_000),
        };
    }

    private OdometerReading Reading(Guid vehicleId, Guid instrumentId, DateOnly on, long thousandths) => new()
    {
        ClubId = clubId,
        Id = NewId(),
        VehicleId = vehicleId,
        InstrumentId = instrumentId,
        ReadOn = on,
        Thousandths = thousandths,
        CreatedAt = DateTime.UnixEpoch,
    };

    private InspectionFinding Finding(DateOnly today) => new()
    {
        ClubId = clubId,
        Id = NewId(),
        ComponentId = Pick(_components),
        FoundOn = today.AddDays(-_random.Next(0, 30)),
        Grade = Pick(Enum.GetValues<FindingGrade>()),
        RecordedAt = DateTime.UnixEpoch,
    };

    private GrantedDeferral Deferral(DateOnly today, DistanceUnit unit) => new()
    {
        ClubId = clubId,
        Id = NewId(),
        ComponentId = Pick(_components),
        Reason = "The part is on order.",
        Person = "Owner",
        DecidedOn = today,
        UntilOn = today.AddDays(_random.Next(5, 200)),
        UntilThousandths = 40_000_000 + _random.Next(20_000_000),
        UntilUnit = unit,
        CreatedAt = DateTime.UnixEpoch,
    };

    private ServiceRecord Record(Guid taskId, DateOnly on, DistanceUnit unit)
    {
        long? shown = _random.Next(2) == 0 ? 40_000_000 + _random.Next(9_000_000) : null;
        long? hours = _random.Next(3) == 0 ? _random.Next(2_000_000) : null;
        return new()
        {
            ClubId = clubId,
            Id = NewId(),
            ServiceTaskId = taskId,
            DoneOn = on,
            Thousandths = shown,
            Unit = shown is null ? null : unit,
            Hours = hours,
            CreatedAt = DateTime.UnixEpoch,
        };
    }

    private T Pick<T>(IReadOnlyList<T> among) => among[_random.Next(among.Count)];

    /// <summary>The same in both clubs, which the key tells apart.</summary>
    private Guid NewId() => new(seed, 0, 0, BitConverter.GetBytes((long)++_made));
}
