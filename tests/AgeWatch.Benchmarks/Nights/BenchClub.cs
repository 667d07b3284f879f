using AgeWatch.Core;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Benchmarks.Nights;

/// <summary>Invented cars with 40 parts each: every second part carries a mark, every one has a fitted day, every third
/// an odometer with it.</summary>
internal static class BenchClub
{
    public const int PartsPerCar = 40;
    public static readonly DateOnly Start = new(2026, 11, 1);

    /// <summary>A second club, small, for the compiler to warm up on.</summary>
    public static readonly Guid WarmUp = new("00000000-0000-7000-8000-000000000001");

    public static async Task SeedAsync(AgeWatchContext db, Guid clubId, int components, CancellationToken stop)
    {
        Random random = new(clubId == WarmUp ? 2 : 1);
        var kinds = Core.Catalogue.PartCatalogue.BuiltIn.All.Where(kind =>
            kind.Form == Core.Catalogue.PartForm.Component)
            .Select(kind => kind.Key).ToList();
        List<Vehicle> cars = [];
        List<Instrument> instruments = [];
        List<OdometerReading> readings = [];
        List<Component> parts = [];
        List<Fitting> fittings = [];
        List<EvidenceItem> evidence = [];
        for (var car = 0; car < components / PartsPerCar; car++)
        {
            Vehicle vehicle = new()
            {
                ClubId = clubId,
                Id = Id(),
                Name = $"Car {car}",
                Country = "GB",
                DistanceUnit = DistanceUnit.Kilometre,
                CreatedAt = DateTime.UnixEpoch
            };
            vehicle.SetBuilt(DateSpan.Month(1970 + random.Next(40), 1 + random.Next(12)));
            Instrument odometer = new()
            {
                ClubId = clubId,
                Id = Id(),
                VehicleId = vehicle.Id,
                Label = "main",
                Unit = DistanceUnit.Kilometre
            };
            cars.Add(vehicle);
            instruments.Add(odometer);
            var perDay = random.Next(3, 40);
            for (var year = 0; year < 4; year++)
            {
                var on = Start.AddDays(-1200 + year * 365 + random.Next(100));
                readings.Add(new()
                {
                    ClubId = clubId,
                    Id = Id(),
                    VehicleId = vehicle.Id,
                    InstrumentId = odometer.Id,
                    ReadOn = on,
                    Thousandths = 1000L * (60_000 + perDay * (on.DayNumber - Start.AddDays(-1300).DayNumber)),
                    CreatedAt = DateTime.UnixEpoch,
                });
            }

            for (var i = 0; i < PartsPerCar; i++)
            {
                var fittedOn = Start.AddDays(-random.Next(0, 4000));
                Component part = new()
                {
                    ClubId = clubId,
                    Id = Id(),
                    VehicleId = vehicle.Id,
                    PartKind = kinds[random.Next(kinds.Count)],
                    CreatedAt = DateTime.UnixEpoch
                };
                parts.Add(part);
                fittings.Add(new()
                {
                    ClubId = clubId,
                    Id = Id(),
                    ComponentId = part.Id,
                    VehicleId = vehicle.Id,
                    FittedOn = fittedOn,
                    FittedThousandths = i % 3 == 0
                        ? 1000L * (60_000 + perDay * Math.Max(0, fittedOn.DayNumber - Start.AddDays(-1300).DayNumber))
                        : null,
                    FittedUnit = DistanceUnit.Kilometre,
                    RecordedAt = DateTime.UnixEpoch,
                });
                if (i % 2 == 0)
                {
                    evidence.Add(new()
                    {
                        ClubId = clubId,
                        Id = Id(),
                        ComponentId = part.Id,
                        Kind = EvidenceRowKind.Mark,
                        Convention = "iso-calendar",
                        Text = fittedOn.AddDays(-random.Next(10, 400))
                            .ToString("yyyy-MM", System.Globalization.CultureInfo.InvariantCulture),
                        On = fittedOn,
                        RecordedAt = DateTime.UnixEpoch,
                    });
                }
            }

            if (parts.Count >= 20_000)
            {
                await FlushAsync();
            }
        }

        await FlushAsync();

        Guid Id()
        {
            var bytes = new byte[16];
            random.NextBytes(bytes);
            return new(bytes);
        }

        async Task FlushAsync()
        {
            await using var transaction = await db.Database.BeginTransactionAsync(stop);
            if (db.IsPostgres())
            {
                // Looking up each reference of a million rows takes longer than the rest of the benchmark.
                await db.Database.ExecuteSqlRawAsync("SET LOCAL session_replication_role = replica", stop);
            }

            await db.PutAsync(cars, stop);
            await db.PutAsync(instruments, stop);
            await db.PutAsync(readings, stop);
            await db.PutAsync(parts, stop);
            await db.PutAsync(fittings, stop);
            await db.PutAsync(evidence, stop);
            await transaction.CommitAsync(stop);
            cars.Clear();
            instruments.Clear();
            readings.Clear();
            parts.Clear();
            fittings.Clear();
            evidence.Clear();
        }
    }
}
