using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using BenchmarkDotNet.Attributes;

namespace AgeWatch.Benchmarks;

/// <summary>
/// The due answer: aims are 40 components with explanation below 100 µs, and one age limit without explanation below
/// 150 ns with nothing allocated. <see cref="OneLimitPlain"/> is what a user would write without it.
/// </summary>
[MemoryDiagnoser]
public class DueBenchmarks
{
    private static readonly DateOnly AsOf = new(2026, 11, 25);

    private DueQuestion[] _car = [];
    private VehicleFacts _vehicle = VehicleFacts.Unknown;
    private DueSubject[] _subjects = [];
    private readonly DateSpan _born = DateSpan.Month(2019, 6);

    [GlobalSetup]
    public void BuildCar()
    {
        var catalogue = PartCatalogue.BuiltIn;
        ShownDistance[] readings = [.. Enumerable.Range(0, 8)
            .Select(year => new ShownDistance(
                new(2019 + year, 5, 10), 61_200 + 4_100 * year + year * year * 37 % 900, DistanceUnit.Mile))];
        _vehicle = new()
        {
            Built = DateSpan.Month(1987, 5),
            Country = "GB",
            DistanceUnit = DistanceUnit.Mile,
            Usage = new() { Readings = readings },
        };
        PartKind[] kinds = [.. catalogue.All.Where(kind => kind.Core).Take(40)];
        _subjects = [.. kinds.Select((kind, i) => Subject(kind, i))];
        var usage = UsageModel.For(_vehicle.Usage, _subjects);
        _car = [.. kinds.Select((kind, i) => new DueQuestion
        {
            AsOf = AsOf, Kind = KindRules.From(kind, catalogue), Vehicle = _vehicle, Subject = _subjects[i],
            Usage = usage,
        })];
    }

    /// <summary>40 components and service tasks of one car, sentences and questions included.</summary>
    [Benchmark]
    public int FortyWithExplanation()
    {
        var sentences = 0;
        foreach (var question in _car)
        {
            var answer = DueAssessment.Assess(question);
            sentences += answer.Reasons.Count + answer.Questions.Count;
        }

        return sentences;
    }

    /// <summary>The same as data, with no sentence built.</summary>
    [Benchmark]
    public int FortyAsData()
    {
        var overdue = 0;
        foreach (var question in _car)
        {
            overdue += DueAssessment.Assess(question).State == DueState.Overdue ? 1 : 0;
        }

        return overdue;
    }

    /// <summary>A vehicle's distance and rate from eight readings and all of its subjects.</summary>
    [Benchmark]
    public UsageModel UsageOfTheCar() => UsageModel.For(_vehicle.Usage, _subjects);

    [Benchmark]
    public DueVerdict OneLimitBare() => DueCheck.AgeLimit(_born, 72, EndRule.Day, LimitLevel.ReplaceBy, AsOf, 60);

    [Benchmark(Baseline = true)]
    public DueState OneLimitPlain()
    {
        var due = _born.First.AddMonths(72);
        return AsOf >= due ? DueState.Overdue : AsOf >= due.AddDays(-60) ? DueState.DueSoon : DueState.InLife;
    }

    private static DueSubject Subject(PartKind kind, int i)
    {
        var day = new DateOnly(2015 + i % 11, 1 + i % 12, 5);
        var shown = i % 2 == 0 ? new ShownDistance(day, 45_000 + 4_000 * (day.Year - 2015), DistanceUnit.Mile) : null;
        if (kind.Form == PartForm.ServiceTask)
        {
            return new ServiceTaskFacts { Done = [new() { On = day, Odometer = shown }] };
        }

        Evidence[] evidence = (i % 4) switch
        {
            0 => [],
            1 => [Mark(DateSpan.Month(day.Year - 1, day.Month))],
            2 => [new() { Kind = EvidenceKind.Fitted, On = day, Odometer = shown }],
            _ =>
                [
                    Mark(DateSpan.Year(day.Year - 2), DateSpan.Year(day.Year - 12)),
                    new() { Kind = EvidenceKind.Fitted, On = day, Odometer = shown }],
        };
        return new ComponentFacts
        {
            Evidence = evidence,
            Findings = i % 5 == 0
                ? [new() { On = new(2026, 3, 1), Grade = FindingGrade.Watch, Sign = "surface cracks" }]
                : [],
            OwnLimits = i % 7 == 0 ? [Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Maker)] : [],
        };
    }

    private static Evidence Mark(params DateSpan[] days) => new()
    {
        Kind = EvidenceKind.Mark,
        Text = "as read",
        Readings = [.. days.Select(span => new EvidenceReading(span, "iso-calendar"))],
    };
}
