using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Random facts of every sort that an answer can rest on; some sound, some contradictory.</summary>
internal static class RandomFacts
{
    private static readonly DateOnly Start = new(1980, 1, 1);

    public static DueQuestion Question(Random random) => new()
    {
        AsOf = Day(random, 1995, 2040),
        KnownOn = random.Next(4) == 0 ? Day(random, 2015, 2030) : null,
        WarningDays = random.Next(3) * 45,
        Kind = Kind(random),
        Vehicle = Vehicle(random),
        Subject = random.Next(4) == 0 ? Task(random) : Component(random),
    };

    public static DateOnly Day(Random random, int fromYear, int toYear) =>
        Start.AddDays(random.Next((fromYear - 1980) * 365, (toYear - 1980) * 365));

    public static DateSpan Span(Random random)
    {
        var day = Day(random, 1980, 2026);
        return random.Next(4) switch
        {
            0 => DateSpan.Day(day),
            1 => DateSpan.Month(day.Year, day.Month),
            2 => DateSpan.Quarter(day.Year, (day.Month + 2) / 3),
            _ => DateSpan.Year(day.Year),
        };
    }

    public static KindRules Kind(Random random) => new()
    {
        Key = random.Next(5) == 0 ? "tyre-heavy-steer" : "random-kind",
        Hazard = (HazardClass)random.Next(4),
        Clock = (AgeAnchor)random.Next(5),
        Limits = [.. Many(random, 4, Limit)],
        InspectEveryMonths = random.Next(2) == 0 ? random.Next(1, 37) : null,
        InspectEvery = random.Next(5) == 0 ? new Distance(random.Next(1_000, 60_000)) : null,
        WarningMonths = random.Next(6) == 0 ? random.Next(1, 30) : null,
        StorageLimit = random.Next(4) == 0 ? new() { Value = 24, Tag = Tag.Standard, Reference = "R" } : null,
        EndedBy = random.Next(3) == 0 ? [LifeEvent.Crash] : [],
        Deferral = (DeferralRule)random.Next(3),
        IsRenewable = random.Next(2) == 0,
    };

    public static Limit Limit(Random random)
    {
        var limit = new Limit
        {
            Level = (LimitLevel)random.Next(3),
            From = (AgeAnchor)random.Next(5),
            Tag = (Tag)random.Next(6),
            EndRule = (EndRule)random.Next(3),
            Repeats = random.Next(6) == 0,
        };
        return random.Next(6) switch
        {
            0 =>
                limit with
                {
                    Distance = new Distance(random.Next(1_000, 150_000)),
                    DistanceUnit = (DistanceUnit)random.Next(2)
                },
            1 => limit with { LastDay = Day(random, 1995, 2035), From = AgeAnchor.Printed },
            2 when random.Next(3) == 0 => limit with { Hours = random.Next(10, 500) },
            _ => limit with { Months = random.Next(1, 240) },
        };
    }

    public static VehicleFacts Vehicle(Random random) => new()
    {
        Built = random.Next(6) == 0 ? null : DateSpan.Year(random.Next(1980, 2010)),
        Country = random.Next(3) switch { 0 => "GB", 1 => "IT", _ => null },
        RegisteredOn = random.Next(3) == 0 ? Day(random, 1985, 2015) : null,
        DistanceUnit = (DistanceUnit)random.Next(2),
        Usage = new()
        {
            Instruments = random.Next(3) == 0
                ? [new() { Id = "A", Digits = random.Next(5, 7), Unit = (DistanceUnit)random.Next(2) }]
                : [],
            Readings = random.Next(3) == 0 ? [] : [.. Many(random, 8, Shown)],
            Season = random.Next(4) == 0
                ? new(new(random.Next(1, 13), random.Next(1, 29)), new(random.Next(1, 13), random.Next(1, 29)))
                : null,
            Standing = random.Next(4) == 0 ? [new(Day(random, 2000, 2020), Day(random, 2020, 2030))] : [],
            PlannedTrips = random.Next(4) == 0 ? [new(new(2027, 6, 1), new(2027, 6, 20), new(3_000))] : [],
            DeclaredPerYear = random.Next(3) == 0 ? new Distance(random.Next(500, 30_000)) : null,
        },
        HoursReadings = random.Next(4) == 0 ? [new(new(2020, 1, 1), 10), new(new(2024, 1, 1), 500)] : [],
        Storage = random.Next(4) == 0 ? [StorageCondition.Outdoors] : [],
        Happenings = random.Next(5) == 0 ? [new(LifeEvent.Crash, Day(random, 2000, 2026))] : [],
        Exposure = random.Next(6) == 0 ? Exposure(random) : null,
    };

    public static ExposureFacts Exposure(Random random) => new()
    {
        Segments = [new(Day(random, 1995, 2010), Day(random, 2010, 2030), random.Next(-5, 50))],
        ActivationEnergy = 0.6,
        Spread = 0.1,
        Source = "test",
    };

    public static ComponentFacts Component(Random random) => new()
    {
        Original = random.Next(4) == 0,
        Evidence = [.. Many(random, 4, Evidence)],
        Findings = [.. Many(random, 3, Finding)],
        OwnLimits = [.. Many(random, 3, Limit)],
        Stays = random.Next(6) == 0
            ? [new(random.Next(2) == 0
                ? Day(random, 1990, 2005)
                : null, Day(random, 2005, 2010), random.Next(2) == 0
                ? new Distance(20_000)
                : null, 50, OnThisVehicle: random.Next(2) == 0)]
            : [],
        Deferral = Deferral(random),
    };

    public static ServiceTaskFacts Task(Random random) => new()
    {
        Done = [.. Many(random, 3, source => new DoneEvent
        {
            On = Day(source, 1990, 2026), Odometer = source.Next(2) == 0
                ? Shown(source)
                : null, Hours = source.Next(3) == 0
                ? source.Next(0, 400)
                : null,
        })],
        Findings = [.. Many(random, 2, Finding)],
        OwnLimits = [.. Many(random, 2, Limit)],
        Deferral = Deferral(random),
    };

    public static Evidence Evidence(Random random)
    {
        var kind = (EvidenceKind)random.Next(7);
        var isMark = kind is EvidenceKind.Mark or EvidenceKind.Plate;
        var on = Day(random, 1985, 2030);
        return new()
        {
            Kind = kind,
            On = isMark && random.Next(2) == 0 ? null : on,
            Odometer = !isMark && random.Next(2) == 0 ? Shown(random) with { On = on } : null,
            Hours = !isMark && random.Next(4) == 0 ? random.Next(0, 400) : null,
            Readings = isMark
                ? [.. Many(random, 3, source =>
                    new EvidenceReading(Span(source), "c", source.Next(6) == 0, source.Next(4) == 0 ? 1 : 0))]
                : [],
        };
    }

    public static Finding Finding(Random random) => new()
    {
        On = Day(random, 2000, 2028),
        Grade = (FindingGrade)Math.Min(random.Next(5), random.Next(4)),
        Odometer = random.Next(3) == 0 ? Shown(random) : null,
    };

    public static ShownDistance Shown(Random random)
    {
        var on = Day(random, 1990, 2026);
        var line = (on.DayNumber - Start.DayNumber) * 12 % 100_000;
        return new(on, random.Next(8) == 0 ? random.Next(0, 99_999) : line, DistanceUnit.Kilometre);
    }

    private static Deferral? Deferral(Random random) => random.Next(4) == 0
        ? new() { Reason = "r", Person = "p", DecidedOn = Day(random, 2000, 2026), UntilOn = Day(random, 2020, 2035) }
        : null;

    private static IEnumerable<T> Many<T>(Random random, int most, Func<Random, T> one)
    {
        for (var left = random.Next(most + 1); left > 0; left--)
        {
            yield return one(random);
        }
    }
}
