using System.Diagnostics;
using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>A club's own conventions; the marks and their meanings are invented.</summary>
public sealed class OwnConventionTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    private static OwnConventionDraft Draft(string pattern, params IReadOnlyList<OwnExample> examples) => new()
    {
        Key = "north-works",
        Name = "North works, ink on the web",
        SourceNote = "Told by a retired foreman at the 1998 meeting.",
        Pattern = pattern,
        Years = new(new(1960, 1, 1), new(1999, 12, 31)),
        Examples = examples,
    };

    private static OwnExample Means(string mark, DateSpan span) => new(mark, [span], Seen);

    [Theory]
    [InlineData(@"N(?<day>\d\d)(?<month>\d\d)(?<year>\d\d)", "n250492", "1992-04-25", "1992-04-25")]
    [InlineData(@"N-(?<year>\d{2})(?<monthLetter>[A-M])", "N-92D", "1992-04-01", "1992-04-30")]
    [InlineData(@"(?<week>\d\d)N(?<year>\d\d)", "10 N 90", null, null)]
    [InlineData(@"(?<week>\d\d) ?N ?(?<year>\d\d)", "10 N 90", "1990-03-05", "1990-03-11")]
    [InlineData(@"(?<quarter>[1-4])N(?<year>\d{4})", "3N1994", "1994-07-01", "1994-09-30")]
    [InlineData(@"(?<dayOfYear>\d{3})(?<year>\d\d)N", "12385n", "1985-05-03", "1985-05-03")]
    [InlineData(@"(?<month>[A-Z]{3})(?<year>\d\d)", "JUN94", "1994-06-01", "1994-06-30")]
    [InlineData(@"N(?<year>\d\d)", "N86", "1986-01-01", "1986-12-31")]
    [InlineData(@"N(?<year>\d\d)", "xN86", null, null)]
    public void An_expression_stands_when_its_examples_come_out(
        string pattern, string mark, string? first, string? last)
    {
        var span = first is null
            ? DateSpan.Year(1900)
            : new DateSpan(DateOnly.ParseExact(first, "yyyy-MM-dd"), DateOnly.ParseExact(last!, "yyyy-MM-dd"));

        var (convention, problems) = OwnConvention.Check(Draft(pattern, Means(mark, span)));

        Assert.Equal(first is null, convention is null);
        Assert.Equal(first is null ? [OwnConventionFault.ExampleFails] : [], problems.Select(p => p.Fault));
    }

    [Fact]
    public void Its_first_example_is_taken_apart_by_the_groups()
    {
        var (convention, _) = OwnConvention.Check(Draft(
            @"N-(?<day>\d\d)(?<monthLetter>[A-M])(?<year>\d\d) ?X",
            Means("n-25D92 X", DateSpan.Day(new(1992, 4, 25)))));

        Assert.Equal(
            [new("n-"), new("25", "day"), new("D", "month"), new("92", "year"), new(" X")],
            convention!.Parts);
    }

    [Fact]
    public void The_failing_example_is_named()
    {
        var (convention, problems) = OwnConvention.Check(Draft(
            @"N(?<year>\d\d)", Means("N86", DateSpan.Year(1986)), Means("N87", DateSpan.Year(1986))));

        Assert.Null(convention);
        var problem = Assert.Single(problems);
        Assert.Equal(1, problem.Example);
        Assert.Contains("N87", problem.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void It_takes_part_in_undeclared_reading_for_those_who_have_it()
    {
        var (convention, _) = OwnConvention.Check(Draft(@"N(?<year>\d\d)-X", Means("N86-X", DateSpan.Year(1986))));

        Assert.Equal(MarkOutcome.None, MarkReader.Read(new("N86-X") { Observed = Seen }).Outcome);
        var answer = MarkReader.Read(new("n86-x") { Observed = Seen }, [convention!]);
        Assert.Equal("north-works", Assert.Single(answer.Readings).Conventions[0].Key);
        Assert.Equal(Tag.Practice, answer.Tag);
        Assert.Contains("foreman", answer.Source, StringComparison.Ordinal);
    }

    [Fact]
    public void Weeks_may_be_counted_as_on_tyres()
    {
        var draft = Draft(
            @"N(?<week>\d\d)(?<year>\d\d)",
            Means("N3197", new(new(1997, 8, 3), new(1997, 8, 9)))) with
        { TyreWeeks = true };

        var (convention, problems) = OwnConvention.Check(draft);

        Assert.Empty(problems);
        Assert.NotNull(convention);
    }

    [Theory]
    [InlineData("", OwnConventionFault.PatternMissing)]
    [InlineData("(?<year>\\d\\d", OwnConventionFault.PatternInvalid)]
    [InlineData("(?<year>\\d\\d))|((?<day>x)", OwnConventionFault.PatternInvalid)]
    [InlineData("(?=x)(?<year>\\d\\d)", OwnConventionFault.PatternInvalid)]
    [InlineData("(?<year>\\d)\\k<year>", OwnConventionFault.PatternInvalid)]
    [InlineData("N(?<week>\\d\\d)", OwnConventionFault.YearGroupMissing)]
    [InlineData("(?<year>\\d\\d)(?<hour>\\d)", OwnConventionFault.UnknownGroup)]
    [InlineData("(?<year>\\d\\d)(?<day>\\d)", OwnConventionFault.GroupsDoNotMakeADate)]
    [InlineData("(?<year>\\d\\d)(?<month>\\d)(?<week>\\d)", OwnConventionFault.GroupsDoNotMakeADate)]
    public void A_bad_expression_is_refused_with_its_fault(string pattern, OwnConventionFault fault) =>
        Assert.Contains(fault, OwnConvention.Check(Draft(pattern, Means("x", DateSpan.Year(1986))))
            .Problems.Select(p => p.Fault));

    [Fact]
    public void Names_keys_and_examples_are_checked()
    {
        var draft = Draft(@"N(?<year>\d\d)");

        Assert.Equal([OwnConventionFault.ExamplesMissing], OwnConvention.Check(draft).Problems.Select(p => p.Fault));
        Assert.Equal(
            [OwnConventionFault.KeyTaken, OwnConventionFault.BadName, OwnConventionFault.SourceNoteMissing],
            OwnConvention.Check(draft with
            {
                Key = "tin-wwyy",
                Name = " ",
                SourceNote = "",
                Examples = [Means("N86", DateSpan.Year(1986))]
            })
                .Problems.Select(p => p.Fault));
        Assert.Equal(
            OwnConventionFault.BadKey,
            OwnConvention.Check(draft with { Key = "North Works", Examples = [Means("N86", DateSpan.Year(1986))] })
                .Problems[0]
                .Fault);
    }

    /// <summary>Expressions that run for ages in a backtracking engine, and ones that would fill the memory.</summary>
    [Theory]
    [InlineData("(?:(?:A+)+)+B(?<year>\\d\\d)")]
    [InlineData("(?:A|A|A?)*(?<year>\\d\\d)")]
    [InlineData("(?:(?:A{1,100}){1,100}){1,100}(?<year>\\d\\d)")]
    [InlineData("(?:.*.*.*.*.*.*.*.*.*.*)(?<year>\\d\\d)")]
    public void A_hostile_expression_cannot_hold_the_reader(string pattern)
    {
        var watch = Stopwatch.StartNew();
        var text = new string('A', 117) + "X86";

        OwnConvention.Check(Draft(pattern, Means(text, DateSpan.Year(1986))));

        Assert.True(watch.Elapsed < TimeSpan.FromSeconds(10), $"It took {watch.Elapsed}.");
    }
}
