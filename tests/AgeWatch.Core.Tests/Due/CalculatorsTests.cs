using AgeWatch.Core.Due;
using AgeWatch.Core.Tests.Usage;
using static AgeWatch.Core.Tests.Due.Given;
using static AgeWatch.Core.Tests.Usage.MathsExamples;

namespace AgeWatch.Core.Tests.Due;

/// <summary>Inspection interval, overrun, exposure: the published formulas with their worked numbers.</summary>
public sealed class CalculatorsTests
{
    /// <summary>NAVAIR 00-25-403 as quoted in the worked examples: I = PF/n, n = ln(Pacc)/ln(1 − θ), rounded
    /// up.</summary>
    [Theory]
    [InlineData("pf-half")]
    [InlineData("pf-lead")]
    public void The_inspection_interval_is_the_published_one(string name)
    {
        var (inputs, expected) = Get(name);
        var (pf, theta, accepted) = (inputs.Number("PF"), inputs.Number("th"), inputs.Number("Pacc"));
        var lead = inputs.TryGetProperty("lead", out var given) ? given.GetDouble() : 0;
        var usable = pf - lead;

        Assert.Equal(expected.The("n").GetInt32(), InspectionInterval.Looks(theta, accepted));
        var interval = InspectionInterval.Of(pf, theta, accepted, lead);
        Assert.Equal(expected.Number("interval"), interval, 1e-9);
        Assert.Equal(expected.Number("p_miss"), InspectionInterval.MissChance(usable, interval, theta), 1e-9);
        Assert.Equal(
            expected.Number("p_miss_at_0.75W"), InspectionInterval.MissChance(usable, 0.75 * usable, theta), 1e-9);
        Assert.Equal(
            expected.Number("p_miss_at_1.6W"), InspectionInterval.MissChance(usable, 1.6 * usable, theta), 1e-9);
    }

    [Fact]
    public void Half_the_warning_time_is_nine_in_ten_and_one_in_a_hundred() =>
        Assert.Equal((double)InspectionInterval.Half(12), InspectionInterval.Of(12, 0.9, 0.01), 1e-12);

    /// <summary>NIST/SEMATECH e-Handbook 8.1.5.1: 25 to 125 °C gives 133 at 0.5 eV and 17,597 at 1.0 eV.</summary>
    [Fact]
    public void Arrhenius_gives_the_handbooks_factors()
    {
        var (inputs, expected) = Get("arrhenius-nist-8.1.5.1");
        var energies = inputs.The("Ea_eV").Numbers();
        for (var i = 0; i < energies.Length; i++)
        {
            var handbook = Exposure.Factor(125, 25, energies[i], inputs.Number("k"), inputs.Number("zero"));
            Near(expected.The("published").Numbers()[i], handbook, 0.005);
            Near(expected.The("AF").Numbers()[i], handbook, 1e-9);
            Near(expected.The("AF_codata_273_15").Numbers()[i], Exposure.Factor(125, 25, energies[i]), 1e-9);
        }
    }

    /// <summary>Constructed example, clamped segment by segment; activation energy of nitrile elongation, Sandia
    /// 1993.</summary>
    [Fact]
    public void Time_in_the_cold_never_makes_up_for_heat()
    {
        var (inputs, expected) = Get("effective-age-A");
        var stretches = inputs.The("segments_years_C")
            .EnumerateArray()
            .Select(row => (row[0].GetDouble(), row[1].GetDouble()))
            .ToArray();

        Near(
            expected.Number("effective_age_clamped"),
            Exposure.EffectiveAge(stretches, inputs.Number("ref_C"), inputs.Number("Ea_eV")), 1e-9);
        Assert.Equal(6, Exposure.EffectiveAge([(6, 10)], 20, 0.954));
    }

    /// <summary>14 CFR 91.409(b), check-9: due at 100, done at 106, next due at 200.</summary>
    [Fact]
    public void An_overrun_is_taken_off_the_next_interval()
    {
        Assert.Equal(200, Overrun.CountsFrom(106, 100, 100) + 100);
        Assert.Equal(195, Overrun.CountsFrom(95, 100, 100) + 100);
        Assert.Equal(Day("2026-01-01"), Overrun.CountsFrom(Day("2026-02-15"), Day("2026-01-01"), 12));
        Assert.Equal(250, Overrun.CountsFrom(250, 100, 100));
    }

    [Fact]
    public void An_hours_task_done_late_is_next_due_at_200()
    {
        var task = new ServiceTaskFacts { Done = [new() { On = Day("2026-01-01"), Hours = 106, DueHours = 100 }] };
        var car = Car() with
        {
            HoursReadings = [
            new(Day("2025-01-01"), 0), new(Day("2026-04-01"), 199), new(Day("2026-04-11"), 200)]
        };

        var answer = Ask(
            Kind(Limit.ByHours(LimitLevel.ReplaceBy, AgeAnchor.Service, 100, Tag.Maker)), task, "2026-04-11", car);

        Assert.Equal((DueState.Overdue, Certainty.Certain), (answer.State, answer.Certainty));
        Assert.Equal(200, answer.Governing!.ReachedAt);
        Assert.Equal(DateSpan.Day(Day("2026-04-11")), answer.Due);
    }

    /// <summary>
    /// Ten years from 2010-01-01 are 3,652 days. From 2012-01-01 on at a factor of about 2 (28.9 °C at 0.6 eV,
    /// reference 20):
    /// 730 days pass at 1, the other 2,922 in half the time. A spread of 0.1 eV makes it 2.26 at the early end and 1.79
    /// at the late one, by the formula of NIST 8.1.5.1.
    /// </summary>
    [Fact]
    public void A_temperature_history_only_shortens()
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Practice));
        var part = Part(Mark(DateSpan.Day(Day("2010-01-01"))));
        var celsius = 28.9;
        var factor = Exposure.Factor(celsius, 20, 0.6);

        var warm = Ask(kind, part, "2016-01-01", Kept(celsius));
        var cold = Ask(kind, part, "2016-01-01", Kept(5));
        var unsourced = Ask(kind, part, "2016-01-01", Kept(celsius, source: " "));

        Assert.InRange(factor, 1.9, 2.1);
        Assert.Equal(DateSpan.Day(Day("2012-01-01").AddDays((int)Math.Floor((3652 - 730) / factor))), warm.Due);
        Assert.Equal(
            new DateSpan(Day("2012-01-01")
                .AddDays((int)(2922 / 2.2625254)), Day("2012-01-01")
                .AddDays((int)(2922 / 1.7917650))),
            Ask(kind, part, "2016-01-01", Kept(celsius, spread: 0.1)).Due);
        Assert.Equal(Day("2020-01-01"), cold.Due!.Value.First);
        Assert.Equal(Day("2020-01-01"), unsourced.Due!.Value.First);
    }

    /// <summary>A period that begins after the day on which the facts are stated is no fact yet, whatever day is asked
    /// about.</summary>
    [Fact]
    public void Heat_to_come_does_not_count_before_its_time()
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 120, Tag.Practice));
        var part = Part(Mark(DateSpan.Day(Day("2010-01-01"))));

        var question = new DueQuestion { AsOf = Day("2016-01-01"), Kind = kind, Subject = part, Vehicle = Kept(60) };

        var before = DueAssessment.Assess(question with { KnownOn = Day("2011-12-31") });
        Assert.Equal((DueState.InLife, DateSpan.Day(Day("2020-01-01"))), (before.State, before.Due));
        Assert.Equal(
            DueState.Overdue,
            DueAssessment.Assess(question with { KnownOn = Day("2012-01-01"), AsOf = Day("2019-01-01") }).State);
    }

    [Fact]
    public void Heat_beyond_trust_asks_for_a_look()
    {
        var kind = Kind(Limit.Age(LimitLevel.ReplaceBy, AgeAnchor.Manufacture, 240, Tag.Practice));

        var answer = Ask(kind, Part(Mark(DateSpan.Day(Day("2010-01-01")))), "2012-01-01", Kept(60));

        Assert.Equal(DueState.InspectDue, answer.State);
        Assert.Contains(answer.Notes, note => note.Code == DueNoteCode.ExposedTooHot);
    }

    private static VehicleFacts Kept(double celsius, string source = "Sandia 1993", double spread = 0) => Car() with
    {
        Exposure = new()
        {
            Segments = [new(Day("2012-01-01"), Day("2030-12-31"), celsius)],
            ActivationEnergy = 0.6,
            Spread = spread,
            Source = source,
        },
    };
}
