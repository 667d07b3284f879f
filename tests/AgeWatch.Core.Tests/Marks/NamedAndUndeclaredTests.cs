using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>
/// Naming a convention only takes readings away. Whatever a convention reads when it is named is among the readings of
/// the undeclared mark on every kind of part on which it is met; so two that disagree are never one certain answer.
/// </summary>
public sealed class NamedAndUndeclaredTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    // A rule of its own, with its own test, takes these out and tells so.
    private static readonly DropCode[] RuledOut = [DropCode.CouldBeBore];

    private static readonly string[] AsTyped =
    [
        "01/14", "85/12", "3/94", "15/07", "03-2014", "12.04.92", "100196", "250492", "Oct 1996", "JUN 94", "VII.84",
        "III/78", "2014", "94", "86", "1012", "2512", "3157", "409", "40 9", "1 5 0 7", "45 06", "8512B", "K116",
        "M116", "I 1 65", "6K10", "FO", "J9", "16W03", "W03 2014", "2Q08", "SAE 30R9 2Q08", "ACME 10/96 3/16 HR",
        "06/25",
        "2025", "EXP 06/28", "made 06/18", "DOT 1AB CDEFGH 0115", "1AB-CDEFGH-0115", "94 pointer 7", "18240+1",
    ];

    public static TheoryData<string> Conventions => [.. MarkConventions.All.Select(convention => convention.Key)];

    [Theory]
    [MemberData(nameof(Conventions))]
    public void What_a_named_convention_reads_is_among_the_undeclared_readings(string key)
    {
        var kinds = PartCatalogue.BuiltIn.All
            .Where(kind => kind.Mark.Likely.Contains(key) || kind.Mark.Possible.Contains(key))
            .DistinctBy(kind => string.Join(' ', kind.Mark.Likely) + " : " + string.Join(' ', kind.Mark.Possible))
            .ToArray();
        var read = 0;
        foreach (var text in Texts(MarkConventions.Find(key)!))
        {
            var named = MarkReader.Read(new(text) { Convention = key, Observed = Seen });
            foreach (var kind in kinds)
            {
                var open = Undeclared(kind, text);
                foreach (var reading in named.Readings)
                {
                    Assert.True(
                        IsTold(open, reading),
                        $"{kind.Key} \"{text}\": {reading.Canonical} by {key} is not among "
                            + string.Join(", ", open.Readings.Select(r => r.Canonical)));
                    read++;
                }
            }
        }

        Assert.True(read > 12, $"Only {read} readings were compared.");
    }

    [Fact]
    public void Two_conventions_that_disagree_are_never_one_certain_answer()
    {
        var disagreed = 0;
        foreach (var kind in PartCatalogue.BuiltIn.All.Where(kind => kind.Form == PartForm.Component))
        {
            string[] keys = [.. kind.Mark.Likely, .. kind.Mark.Possible];
            foreach (var text in keys.SelectMany(key => Texts(MarkConventions.Find(key)!).Take(70)).Distinct())
            {
                var meanings = keys
                    .SelectMany(key => MarkReader.Read(new(text) { Convention = key, Observed = Seen }).Readings)
                    .DistinctBy(reading => (reading.Span, reading.Kind)).ToArray();
                if (meanings.Length < 2)
                {
                    continue;
                }

                var open = Undeclared(kind, text);
                var ruledOut = meanings.Count(reading =>
                    open.Dropped.Any(d => d.Span == reading.Span && RuledOut.Contains(d.Code)));
                ruledOut += open.Remote.Count;
                Assert.True(
                    open.Readings.Count >= meanings.Length - ruledOut,
                    $"{kind.Key} \"{text}\" means {string.Join(", ", meanings.Select(r => r.Canonical))}, read as "
                        + string.Join(", ", open.Readings.Select(r => r.Canonical)));
                disagreed++;
            }
        }

        Assert.True(disagreed > 1_000, $"Only {disagreed} marks had two meanings.");
    }

    /// <summary>Reference marks, section 6: J, K and L differ by a month between the two ways to count letters. K116 is
    /// 11 October or November of a 6 year, or day 1 of a 16.</summary>
    [Theory]
    [InlineData("K116", "thermostat")]
    [InlineData("J 11 6", "water-pump")]
    [InlineData("6L11", "master-cylinder-seals")]
    [InlineData("K9", "battery-starter")]
    public void A_month_letter_that_both_schemes_use_is_read_by_both(string text, string kind)
    {
        var answer = Undeclared(PartCatalogue.BuiltIn.Find(kind)!, text);

        var letter = text.First(char.IsLetter);
        Assert.Contains(answer.Readings, reading => reading.Span.First.Month == letter - 'A' + 1);
        Assert.Contains(answer.Readings, reading => reading.Span.First.Month == letter - 'A');
        Assert.Contains(OpenQuestion.LetterScheme, answer.Questions);
    }

    /// <summary>The date of a hose stands among its standard, maker and size. 2Q08 is the second quarter of 2008; 16W03
    /// is week 16 of 2003 or week 3 of 2016: nothing tells.</summary>
    [Theory]
    [InlineData("SAE 30R9 2Q08", "quarter:2008-Q2")]
    [InlineData("SAE J30R9 FUEL 8MM 2Q08", "quarter:2008-Q2")]
    [InlineData("ACME SAE 30R7 5/16 2Q08", "quarter:2008-Q2")]
    [InlineData("16W03", "iso:2003-W16 iso:2016-W03")]
    [InlineData("DIN 73379 16W03 20 BAR", "iso:2003-W16 iso:2016-W03")]
    [InlineData("SAE 100R6 KW 16/03", "iso:2003-W16")]
    [InlineData("ACME 7.5 x 13 MM MAR 2008", "month:2008-03")]
    [InlineData("EN 853 2SN 44/08", "iso:2008-W44")]
    [InlineData("SAE 30R9", "")]
    [InlineData("SAE 30R9 5/16", "")]
    public void A_hose_legend_gives_its_date(string text, string expected)
    {
        var answer = Undeclared(PartCatalogue.BuiltIn.Find("fuel-hose-injection-pressure")!, text);

        Assert.Equal(expected, string.Join(' ', answer.Readings.Select(r => r.Canonical)));
    }

    private static bool IsTold(MarkAnswer answer, MarkReading reading) =>
        answer.Readings.Concat(answer.Remote.Select(far => far.Reading))
            .Any(r => r.Span == reading.Span && r.Kind == reading.Kind)
            || answer.Dropped.Any(d => d.Span == reading.Span && RuledOut.Contains(d.Code));

    /// <summary>Its examples, marks as people type them, and what it writes itself for readings of its examples' form
    /// in other years.</summary>
    private static IEnumerable<string> Texts(MarkConvention convention)
    {
        var texts = convention.About.Examples.Select(example => example.Text).Concat(AsTyped).ToList();
        foreach (var (index, example) in convention.About.Examples.Index())
        {
            var random = new Random(20_261_127 + index);
            for (int i = 0, kept = 0; i < 4_000 && kept < 40; i++)
            {
                var text = Varied(example.Text, random);
                var answer = MarkReader.Read(new(text) { Convention = convention.Key, Observed = Seen });
                texts.AddRange(answer.Readings.Select(reading => convention.Render(reading)!));
                if (answer.Readings.Count > 0)
                {
                    texts.Add(text);
                    kept++;
                }
            }
        }

        return texts.Distinct();
    }

    /// <summary>Some figures of an example exchanged for others, and at times the letter of one letter; half of them
    /// keep the century.</summary>
    private static string Varied(string text, Random random)
    {
        var keep = random.Next(2) == 0;
        return string.Concat(text.Select((sign, at) => random.Next(2) == 0 || (keep && IsCentury(text, at)) ? sign
            : char.IsAsciiDigit(sign) ? (char)('0' + random.Next(10))
            : char.IsAsciiLetterUpper(sign) && text.Count(char.IsLetter) == 1 ? (char)('A' + random.Next(13))
            : sign));
    }

    private static bool IsCentury(string text, int at) =>
        text.AsSpan(at) is ['1', '9', _, _, ..] or ['2', '0', _, _, ..]
            || (at > 0 && text.AsSpan(at - 1) is ['1', '9', _, _, ..] or ['2', '0', _, _, ..]);

    private static MarkAnswer Undeclared(PartKind kind, string text) => MarkReader.Read(
        new(text) { Likely = kind.Mark.Likely, Possible = kind.Mark.Possible, Observed = Seen });
}
