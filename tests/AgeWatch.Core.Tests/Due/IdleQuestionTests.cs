using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;
using Xunit.Sdk;
using static AgeWatch.Core.Tests.Due.Given;

namespace AgeWatch.Core.Tests.Due;

/// <summary>
/// Every question of a grid of every kind and scenario is asked and answered in many ways. A question is idle when no
/// answer to it changes state, certainty or the limit that governs. The answers are worked out here, from the words of
/// the question alone, and on a finer scale than the program supposes.
/// </summary>
public sealed class IdleQuestionTests
{
    private static readonly DateOnly Today = Day("2026-11-25");

    [Fact]
    public void No_question_of_the_grid_is_idle()
    {
        var (asked, idle) = (0, new List<string>());
        foreach (var (name, question) in Grid())
        {
            foreach (var ask in DueAssessment.Assess(question).Asks)
            {
                asked++;
                if (!Decides(question, ask))
                {
                    idle.Add($"{name}: {ask.Code} {ask.Detail}");
                }
            }
        }

        Assert.True(asked > 1_000, $"only {asked} questions were asked");
        if (idle.Count > 0)
        {
            throw new XunitException($"{idle.Count} of {asked} questions are idle:\n" + Listed(idle));
        }
    }

    /// <summary>The other side: what would decide is asked. Amounts are supposed in steps, so that one answer in many
    /// thousands can fall between two of them: one in 500 at most is passed.</summary>
    [Fact]
    public void Hardly_a_question_of_the_grid_that_decides_is_left_out()
    {
        var (open, missing) = (0, new List<string>());
        foreach (var (name, question) in Grid().Where((_, place) => place % 3 == 0))
        {
            var answer = DueAssessment.Assess(question);
            foreach (var ask in answer.Open)
            {
                open++;
                if (!answer.Asks.Any(asked =>
                        (asked.Code, asked.Detail, asked.Days) == (ask.Code, ask.Detail, ask.Days))
                    && Decides(question, ask))
                {
                    missing.Add($"{name}: {ask.Code} {ask.Detail}");
                }
            }
        }

        Assert.True(open > 1_000, $"only {open} questions were open");
        Assert.True(missing.Count * 500 < open, $"{missing.Count} of {open} are left out:\n{Listed(missing)}");
    }

    /// <summary>Nobody is left in the dark with nothing to do about it.</summary>
    [Fact]
    public void What_is_unknown_asks_something()
    {
        var mute = Grid().Where(one => DueAssessment.Assess(one.Question)
                is { State: DueState.Unknown, Open.Count: > 0, Asks.Count: 0 })
            .Select(one => one.Name)
            .ToList();

        Assert.True(mute.Count == 0, $"{mute.Count} ask nothing:\n{string.Join('\n', mute.Take(20))}");
    }

    /// <summary>A gas cylinder past its legal day, and a tyre that is not to be used by either reading of its mark: no
    /// kilometre and no choice changes that.</summary>
    [Fact]
    public void What_is_past_help_asks_nothing()
    {
        var cylinder = Kind(
            Limit.Age(LimitLevel.StopUse, AgeAnchor.Manufacture, 240, Tag.Law, "R"),
            Limit.ByDistance(LimitLevel.ReplaceBy, AgeAnchor.Fitting, 60_000, DistanceUnit.Kilometre, Tag.Practice));
        var twice = Part(Mark(Span("1990-01-01", "1990-01-31"), Span("2000-01-01", "2000-01-31")));

        Assert.Empty(Ask(cylinder, Part(Mark(Span("1990-01-01", "1990-01-31"))), "2026-11-25").Questions);
        Assert.Empty(Ask(RoadTyre, twice, "2026-11-25").Questions);
    }

    /// <summary>72 months and 120 by the standard: made in 2014 it is not to be used, in 2024 in life.</summary>
    [Fact]
    public void Each_answer_says_what_it_leads_to()
    {
        var ask = Assert.Single(
            Ask(RoadTyre, Part(Mark(DateSpan.Month(2014, 3), DateSpan.Month(2024, 3))), "2026-11-25").Asks);

        Assert.Equal(DueAskCode.WhichReading, ask.Code);
        Assert.Equal(
            [
                ("made 2014-03-01 to 2014-03-31", DueState.StopUse, Certainty.Certain),
                ("made 2024-03-01 to 2024-03-31", DueState.InLife, Certainty.Certain),
            ],
            ask.Leads.Select(lead => (lead.Answer, lead.State, lead.Certainty)));
    }

    private static string Listed(List<string> lines) => string.Join(
        '\n', lines.GroupBy(line => line.Split(": ")[1].Split(' ')[0])
            .Select(group => $"{group.Count()} {group.Key}, as {string.Join("; ", group.Take(3))}"));

    private static bool Decides(DueQuestion question, DueAsk ask)
    {
        var now = Seen(DueAssessment.Assess(question));
        return Answers.To(ask, question).Any(then => Seen(DueAssessment.Assess(then)) != now);
    }

    private static (DueState, Certainty, LimitLevel?, LimitMeasure?, Tag?, decimal?, AgeAnchor?) Seen(DueAnswer a) => (
        a.State, a.Certainty, a.Governing?.Level, a.Governing?.Measure, a.Governing?.Tag, a.Governing?.Number,
        a.Governing?.Anchor);

    private static IEnumerable<(string Name, DueQuestion Question)> Grid() =>
        from kind in PartCatalogue.BuiltIn.All
        let rules = KindRules.From(kind, PartCatalogue.BuiltIn)
        from vehicle in Vehicles
        from subject in kind.Form == PartForm.Component ? Parts : Tasks
        select ($"{kind.Key}, {subject.Name}, {vehicle.Name}", new DueQuestion
        {
            AsOf = Today,
            KnownOn = Today,
            Kind = rules,
            Vehicle = vehicle.Facts,
            Subject = subject.Facts,
        });

    private static readonly (string Name, VehicleFacts Facts)[] Vehicles =
    [
        ("nothing known", VehicleFacts.Unknown),
        ("built 1987", Car()),
        ("built 2024", Car("2024-05-01", "2024-05-31")),
        ("odometer read twice", Driven(Km("2020-01-01", 50_000), Km("2026-06-01", 60_000))),
        ("odometer read once", Driven(Km("2026-06-01", 60_000))),
        ("a low reading", Driven(
            Km("2015-01-01", 50_000), Km("2020-01-01", 60_000), Km("2023-01-01", 8_000), Km("2026-06-01", 72_000))),
        ("hardly moves", Driven(Km("1990-01-01", 10), Km("2026-06-01", 500))),
        ("usual distance of the club", Car() with { Usage = new() { FleetPerYear = new Distance(3_000) } }),
        ("odometer replaced", Car() with
        {
            Usage = new()
            {
                Instruments =
                [
                    new() { Id = "old", RemovedOn = Day("2018-01-01") },
                    new() { Id = "new", FittedOn = Day("2021-01-01") },
                ],
                Readings =
                [
                    Km("2010-01-01", 90_000, "old"), Km("2018-01-01", 99_000, "old"), Km("2026-01-01", 9_000, "new"),
                ],
            },
        }),
        ("registered 2001 in Italy", Car() with { RegisteredOn = Day("2001-03-01"), Country = "IT" }),
    ];

    private static readonly (string Name, DueSubject Facts)[] Parts =
    [
        ("nothing known", Part()),
        ("original", Part() with { Original = true }),
        ("fitted 2026", Part(On(EvidenceKind.Fitted, "2026-06-01", 61_000))),
        ("fitted 2012", Part(On(EvidenceKind.Fitted, "2012-06-01"))),
        ("bought 2021", Part(On(EvidenceKind.Document, "2021-06-01"))),
        ("made 2026, fitted", Part(Mark(Span("2026-01-01", "2026-01-31")), On(EvidenceKind.Fitted, "2026-06-01"))),
        ("made 1990", Part(Mark(Span("1990-01-01", "1990-01-31")))),
        ("three readings", Part(Mark(
            Span("2006-01-01", "2006-01-31"), Span("2016-01-01", "2016-01-31"), Span("2026-01-01", "2026-01-31")))),
        ("two old readings", Part(Mark(Span("1990-01-01", "1990-01-31"), Span("2000-01-01", "2000-01-31")))),
        ("unread", Part(new Evidence { Kind = EvidenceKind.Mark, Text = "??" })),
        ("made or good until 2025", Part(MadeOrGood("2025-06-01", "2025-06-30"))),
        ("made or good until 2012", Part(MadeOrGood("2012-06-01", "2012-06-30"))),
        ("good until 2020", Part(Expiry("2020-06-01", "2020-06-30"))),
        ("mark after fitting", Part(
            Mark(Span("2025-01-01", "2025-01-31")) with { Text = "0125" }, On(EvidenceKind.Fitted, "2010-06-01"))),
        ("filled 2026", Part(On(EvidenceKind.Fill, "2026-01-01", 59_500))),
        ("serviced 2019", Part(On(EvidenceKind.Service, "2019-01-01"))),
        ("tested 2004", Part(On(EvidenceKind.Regulatory, "2004-01-01"))),
        ("from another car", Part(On(EvidenceKind.Fitted, "2024-06-01", 58_000)) with
        {
            Stays = [new(Day("2022-01-01"), Day("2024-01-01"), null), new(Day("2024-06-01"), null, null)],
        }),
        ("unfit", Part(On(EvidenceKind.Fitted, "2026-06-01")) with { Findings = [Found(FindingGrade.Unfit)] }),
        ("passed", Part(On(EvidenceKind.Fitted, "2022-06-01")) with { Findings = [Found(FindingGrade.Pass)] }),
        .. from unit in new[] { "mm", "V", "%", "C" }
           from value in new[] { 1m, 12m }
           select ($"measured {value} {unit}", (DueSubject)(Part(On(EvidenceKind.Fitted, "2026-06-01")) with
           {
               Findings = [Found(FindingGrade.Pass) with { Measured = new(value, unit) }],
           })),
    ];

    private static readonly (string Name, DueSubject Facts)[] Tasks =
    [
        ("never done", new ServiceTaskFacts()),
        ("done 2026", new ServiceTaskFacts
        {
            Done = [new() { On = Day("2026-02-01"), Odometer = Km("2026-02-01", 59_700) }],
        }),
        ("done 2026, not read", new ServiceTaskFacts { Done = [new() { On = Day("2026-02-01") }] }),
        ("done 2009", new ServiceTaskFacts { Done = [new() { On = Day("2009-02-01") }] }),
        ("unfit", new ServiceTaskFacts { Findings = [Found(FindingGrade.Unfit)] }),
    ];

    private static Finding Found(FindingGrade grade) => new() { On = Day("2026-10-01"), Grade = grade };

    private static VehicleFacts Driven(params ShownDistance[] readings) =>
        Car() with { Usage = new() { Readings = readings } };

    private static Evidence MadeOrGood(string first, string last) => new()
    {
        Kind = EvidenceKind.Mark,
        Text = "06/25",
        Readings =
        [
            new(Span(first, last)) { IsKindUnsure = true },
            new(Span(first, last), IsExpiry: true) { IsKindUnsure = true },
        ],
    };
}
