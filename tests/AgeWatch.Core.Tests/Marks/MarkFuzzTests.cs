using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>
/// Random and mutated marks, fixed seed. What must hold for every text: no exception, no span that ends before it
/// starts, no reading outside its convention's years, and what has one meaning has the same one when written again by
/// its convention.
/// </summary>
public sealed class MarkFuzzTests
{
    private const string Signs =
        "0123456789012345678901234567890123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ  "
            + "//--..?:;=+QWODT'\u25C4\u0663\u2013\u00E9\u0000\uD83D\u216B<";

    private static readonly string[] Words =
    [
        "DOT ", "DOT ACME 3/16 ", "JUN ", "March ", "Q", "W", "III/", "Not valid after ", "Do Not Use After ", "Made ",
        "SFI 16.1 ", "YY=", ";pointer=",
        ";dots=", "T12:00:00Z", "12.VII.", "\u25C4", "FIA 8853/98 ", "-W", "expires ",
    ];

    private static readonly string[] Seeds =
        [.. MarkVectors.Of(c =>
            !c.StartsWith("vin", StringComparison.Ordinal) && c is not ("odometer-rollover" or "unit-mi-km"))
            .Select(v => v.GetProperty("input").GetString()!).Distinct()];

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void A_million_marks_in_two_halves(int half)
    {
        var random = new Random(20_260_630 + half);
        var written = 0;
        for (var i = 0; i < 505_000; i++)
        {
            var question = Question(random, i);
            var answer = MarkReader.Read(question);
            Check(question, answer);
            if (answer.Outcome == MarkOutcome.One)
            {
                written += WriteAgain(question, answer.Readings[0]);
            }
        }

        Assert.True(written > 10_000, $"Only {written} readings were written again.");
    }

    private static MarkQuestion Question(Random random, int i)
    {
        var observed = random.Next(4) == 0 ? (DateOnly?)null : DateOnly.FromDayNumber(random.Next(719_000, 740_500));
        var declared = i % 3 != 0;
        return new(Text(random))
        {
            Convention = declared ? MarkConventions.All[random.Next(MarkConventions.All.Count)].Key : null,
            Observed = observed,
            NotBefore = random.Next(3) == 0 ? DateOnly.FromDayNumber(random.Next(712_000, 735_000)) : null,
            NotAfter = random.Next(6) == 0 ? DateOnly.FromDayNumber(random.Next(719_000, 745_000)) : null,
            VehicleBuilt = random.Next(4) == 0 ? DateSpan.Year(random.Next(1950, 2020)) : null,
            OriginalEquipment = (YesNo)random.Next(3),
            Triangle = (YesNo)random.Next(3),
            LetterScheme = (LetterScheme)random.Next(3),
            Country = random.Next(3) switch { 0 => "US", 1 => "GB", _ => null },
            Role = random.Next(5) switch { 0 => MarkKind.Expiry, 1 => MarkKind.Manufacture, _ => null },
            Likely = declared || random.Next(4) > 0 ? [] : ["fmvss106-hose", "tin-wwyy"],
        };
    }

    private static string Text(Random random)
    {
        switch (random.Next(3))
        {
            case 0:
                return Mutated(Seeds[random.Next(Seeds.Length)], random);
            case 1:
                return Mutated(Words[random.Next(Words.Length)] + random.Next(100_000), random);
            default:
                Span<char> signs = stackalloc char[random.Next(1, random.Next(20) == 0 ? 130 : 9)];
                foreach (ref var sign in signs)
                {
                    sign = Signs[random.Next(Signs.Length)];
                }

                return new(signs);
        }
    }

    private static string Mutated(string text, Random random)
    {
        for (var changes = random.Next(3); changes > 0 && text.Length > 0; changes--)
        {
            var at = random.Next(text.Length);
            text = random.Next(4) switch
            {
                0 => text.Remove(at, 1),
                1 => text.Insert(at, Signs[random.Next(Signs.Length)].ToString()),
                2 => text.Insert(at, Words[random.Next(Words.Length)]),
                _ => text[..at] + Signs[random.Next(Signs.Length)] + text[(at + 1)..],
            };
        }

        return text;
    }

    private static void Check(MarkQuestion question, MarkAnswer answer)
    {
        for (var i = 0; i < answer.Readings.Count; i++)
        {
            var reading = answer.Readings[i];
            var ok = reading.Span.First <= reading.Span.Last
                && reading.Conventions.All(c =>
                    c.Years.First <= reading.Span.Last && reading.Span.First <= c.Years.Last)
                && !(reading.Span.Last < question.NotBefore) && !(reading.Span.First > question.NotAfter)
                && !(reading.Kind == MarkKind.Manufacture && reading.Span.First > question.Observed)
                && (i == 0 || answer.Readings[i - 1].Span <= reading.Span)
                && reading.Canonical.Contains(':', StringComparison.Ordinal);
            Assert.True(ok, $"{question} read as {reading.Canonical} by {reading.Conventions[0]}");
        }

        if (answer.Outcome == MarkOutcome.None)
        {
            Assert.NotEmpty(answer.Reason);
        }
    }

    private static int WriteAgain(MarkQuestion question, MarkReading reading)
    {
        foreach (var convention in reading.Conventions)
        {
            var text = convention.Render(reading);
            var again = MarkReader.Read(question with { Text = text!, Convention = convention.Key });
            Assert.True(
                again.Outcome == MarkOutcome.One
                    && again.Readings[0].Span == reading.Span
                    && again.Readings[0].Kind == reading.Kind,
                $"{question} is {reading.Span}; {convention} writes it \"{text}\", which reads as "
                    + $"{string.Join(' ', again.Readings.Select(r => r.Span))}");
        }

        return reading.Conventions.Count;
    }
}
