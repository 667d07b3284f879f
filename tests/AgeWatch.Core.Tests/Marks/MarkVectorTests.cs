using System.Globalization;
using System.Text.Json;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Marks.Vins;

namespace AgeWatch.Core.Tests.Marks;

public sealed class MarkVectorTests
{
    private static readonly string[] NotMarks = [
        "vin-check-digit", "vin-model-year", "odometer-rollover", "unit-mi-km"];

    public static TheoryData<string, string, string> Marks() => MarkVectors.Rows(c => !NotMarks.Contains(c));

    public static TheoryData<string, string, string> CheckDigits() => MarkVectors.Rows(c => c == "vin-check-digit");

    public static TheoryData<string, string, string> ModelYears() => MarkVectors.Rows(c => c == "vin-model-year");

    public static TheoryData<string, string, string> Rollovers() => MarkVectors.Rows(c => c == "odometer-rollover");

    public static TheoryData<string, string, string> Units() => MarkVectors.Rows(c => c == "unit-mi-km");

    [Fact]
    public void All_144_cases_are_run() =>
        Assert.Equal(144, Marks().Count + CheckDigits().Count + ModelYears().Count + Rollovers().Count + Units().Count);

    /// <summary>
    /// Sources: in each case of the file (49 CFR 574.5, 571.106, .209, .218, .304, ISO 2230, RFC 3339 ...). The seven
    /// rules at its head say how to compare: distinct spans, order free, the reason not binding.
    /// </summary>
    [Theory]
    [MemberData(nameof(Marks))]
    public void Reads_as_the_published_case_says(string id, string convention, string input)
    {
        Assert.NotEmpty(convention);
        Assert.NotEmpty(input);
        var vector = MarkVectors.Case(id);
        var expected = vector.GetProperty("expected");

        var answer = MarkReader.Read(MarkVectors.Question(vector));

        var spans = answer.Readings.Select(r =>
            (Canonical: r.Canonical, r.Span, Keys: string.Join(' ', r.Conventions.Select(c => c.Key)))).ToList();
        switch (expected.GetProperty("kind").GetString())
        {
            case "interval":
                Assert.Equal(MarkOutcome.One, answer.Outcome);
                Assert.Equal([Reading(expected)], spans);
                break;
            case "candidates":
                Assert.Equal(MarkOutcome.Several, answer.Outcome);
                Assert.Equal(
                    expected.GetProperty("readings").EnumerateArray().Select(Reading).OrderBy(r => r.Span).ToList(),
                    spans);
                break;
            case "invalid":
                Assert.Equal(MarkOutcome.None, answer.Outcome);
                Assert.NotEmpty(answer.Dropped);
                break;
            case var other:
                throw new InvalidDataException(other);
        }
    }

    /// <summary>49 CFR 565.15(c) Tables III to VI; its worked example has sum 411 and check digit 4.</summary>
    [Theory]
    [MemberData(nameof(CheckDigits))]
    public void Checks_a_vin_as_the_published_case_says(string id, string convention, string input)
    {
        Assert.NotEmpty(convention);
        var vector = MarkVectors.Case(id);
        var expected = vector.GetProperty("expected");

        var vin = Vin.Read(input, MarkVectors.Text(vector.GetProperty("context"), "country"));

        if (expected.GetProperty("kind").GetString() == "invalid")
        {
            Assert.NotEqual(VinVerdict.Valid, vin.Verdict);
            Assert.Null(vin.ComputedCheckDigit);
            return;
        }

        Assert.Equal(expected.GetProperty("computedCheckDigit").GetString(), vin.ComputedCheckDigit.ToString());
        Assert.Equal(expected.GetProperty("checkDigitMatches").GetBoolean(), vin.CheckDigitMatches);
        Assert.Equal(expected.GetProperty("verdict").GetString(), vin.Verdict.ToString().ToLowerInvariant());
    }

    /// <summary>49 CFR 565.15(d)(1) Table VII and its note; 1980 to 2004 by the cycle of 30 years.</summary>
    [Theory]
    [MemberData(nameof(ModelYears))]
    public void Gives_the_model_years_of_the_published_case(string id, string convention, string input)
    {
        Assert.NotEmpty(convention);
        var vector = MarkVectors.Case(id);
        var expected = vector.GetProperty("expected");
        var light = vector.GetProperty("context").GetProperty("light").GetBoolean() ? YesNo.Yes : YesNo.No;

        var years = Vin.Read(input, light: light).ModelYears;

        Assert.Equal(
            expected.TryGetProperty("years", out var stated) ? stated.EnumerateArray().Select(y => y.GetInt32()) : [],
            years);
    }

    /// <summary>49 CFR 580.5(e)(2); arithmetic.</summary>
    [Theory]
    [MemberData(nameof(Rollovers))]
    public void Unrolls_an_odometer_as_the_published_case_says(string id, string convention, string input)
    {
        Assert.NotEmpty(convention);
        Assert.NotEmpty(input);
        var vector = MarkVectors.Case(id);
        var (asked, context, expected) = (
            vector.GetProperty("input"), vector.GetProperty("context"), vector.GetProperty("expected"));

        var totals = OdometerRollover.Totals(
            asked.GetProperty("reading").GetInt64(), asked.GetProperty("drumDigits").GetInt32(),
            context.GetProperty("lastKnownTotal").GetInt64(), context.GetProperty("maxPlausibleTotal").GetInt64());

        Assert.Equal(expected.GetProperty("totals").EnumerateArray().Select(t => t.GetInt64()), totals.Totals);
        Assert.Equal(expected.GetProperty("minimumTravelled").GetInt64(), totals.MinimumTravelled);
    }

    /// <summary>International mile, 1.609344 km exactly (1959 agreement; NIST SP 811 from memory).</summary>
    [Theory]
    [MemberData(nameof(Units))]
    public void Converts_a_distance_as_the_published_case_says(string id, string convention, string input)
    {
        Assert.NotEmpty(convention);
        Assert.NotEmpty(input);
        var vector = MarkVectors.Case(id);
        var (asked, expected) = (vector.GetProperty("input"), vector.GetProperty("expected"));

        var converted = Distance.Of(Number(asked, "value"), Unit(asked)).In(Unit(expected));

        Assert.InRange(
            converted - Number(expected, "value"), -Number(expected, "tolerance"), Number(expected, "tolerance"));
    }

    private static decimal Number(JsonElement parent, string name) =>
        decimal.Parse(MarkVectors.Text(parent, name)!, NumberStyles.Float, CultureInfo.InvariantCulture);

    private static DistanceUnit Unit(JsonElement parent) =>
        MarkVectors.Text(parent, "unit") == "mi" ? DistanceUnit.Mile : DistanceUnit.Kilometre;

    private static (string Canonical, DateSpan Span, string Keys) Reading(JsonElement reading) =>
        (reading.GetProperty("reading").GetString()!,
            new(Day(reading, "earliest"), Day(reading, "latest")),
            string.Join(' ', reading.GetProperty("conventions").EnumerateArray().Select(c => c.GetString())));

    private static DateOnly Day(JsonElement parent, string name) =>
        DateOnly.ParseExact(MarkVectors.Text(parent, name)!, "yyyy-MM-dd");
}
