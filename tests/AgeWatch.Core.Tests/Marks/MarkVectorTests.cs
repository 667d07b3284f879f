using System.Text.Json;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

public sealed class MarkVectorTests
{
    public static TheoryData<string, string, string> Marks() =>
        MarkVectors.Rows(c => c == MarkQuestion.Undeclared || MarkConventions.Find(c) is not null);

    /// <summary>
    /// Sources: in each case of the file (49 CFR 574.5, 571.106, .209, .218, .304, ISO 2230, RFC 3339 ...). The seven rules at
    /// its head say how to compare: distinct spans, order free, the reason not binding.
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

        var spans = answer.Readings.Select(r => (Canonical: r.Canonical, r.Span, Keys: string.Join(' ', r.Conventions.Select(c => c.Key)))).ToList();
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

    private static (string Canonical, DateSpan Span, string Keys) Reading(JsonElement reading) =>
        (reading.GetProperty("reading").GetString()!,
            new(Day(reading, "earliest"), Day(reading, "latest")),
            string.Join(' ', reading.GetProperty("conventions").EnumerateArray().Select(c => c.GetString())));

    private static DateOnly Day(JsonElement parent, string name) =>
        DateOnly.ParseExact(MarkVectors.Text(parent, name)!, "yyyy-MM-dd");
}
