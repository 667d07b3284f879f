namespace AgeWatch.Server.Tests.Architecture;

/// <summary>How long a line and a file may be.</summary>
public sealed class LengthTests
{
    private const int LongestLine = 120;

    /// <summary>Text that is one literal is left whole: markup, SQL and JSON read worse when cut.</summary>
    [Fact]
    public void No_line_of_code_is_longer_than_120_characters()
    {
        var faults =
            from file in Sources("src").Concat(Sources("tests"))
            from line in LongLines(File.ReadAllLines(Repository.PathOf(file)))
            select $"{file}:{line}";

        Assert.Empty(faults);
    }

    /// <summary>The design's aims.</summary>
    [Theory]
    [InlineData("src/AgeWatch.Core", 100, 220)]
    [InlineData("src/AgeWatch.Storage", 100, 220)]
    [InlineData("src/AgeWatch.Server", 80, 160)]
    public void Files_stay_short(string project, int median, int ninetiethCentile)
    {
        var lengths = Sources(project).Select(LinesOf).Order().ToList();

        Assert.InRange(lengths[lengths.Count / 2], 1, median);
        Assert.InRange(lengths[lengths.Count * 9 / 10], 1, ninetiethCentile);
    }

    /// <summary>The files over 250 lines. A new one is to be split, or named here with its reason.</summary>
    [Fact]
    public void Only_these_files_are_longer_than_250_lines()
    {
        string[] known =
        [
            // One switch over all reasons and questions, a sentence each: it is read as a table.
            "DueSentences.cs",

            // One subject each, long in today's form; to be split when they are next changed.
            "Assessment.Limits.cs", "ClockStart.cs", "InstrumentReadings.cs", "DueQuestions.cs",
                "MarkText.cs",
            "OwnConvention.cs", "ReadingCollector.cs", "UsageModel.cs", "WalkAnswerWriter.cs",

            // A resource with its routes, handlers and wire records.
            "WebhookEndpoints.cs",

            "Database.cs", // all that differs between the two databases, in one place
            "DigestHtml.cs", // markup of one message
            "Document.cs", // the OpenAPI document
            "NightLog.cs",
            "StrictReader.cs",
        ];

        Assert.Equal(
            known.Order(StringComparer.Ordinal),
            Sources("src").Where(file => LinesOf(file) > 250)
                .Select(file => file.Split('/')[^1])
                .Order(StringComparer.Ordinal));
    }

    private static IEnumerable<string> Sources(string folder) =>
        Repository.Files().Where(file =>
            file.StartsWith(folder + '/', StringComparison.Ordinal)
            && file.EndsWith(".cs", StringComparison.Ordinal)
            && File.Exists(Repository.PathOf(file)));

    private static int LinesOf(string file) => File.ReadAllLines(Repository.PathOf(file)).Length;

    // Inside a raw string anything goes; elsewhere a line may only be long because a literal crosses the limit.
    private static IEnumerable<int> LongLines(string[] lines)
    {
        const string RawQuotes = "\"\"\"";
        var depth = 0;
        foreach (var (index, line) in lines.Index())
        {
            var wasInside = depth > 0;
            if (line.Split(RawQuotes).Length % 2 == 0)
            {
                depth += depth > 0 && line.TrimStart().StartsWith(RawQuotes, StringComparison.Ordinal) ? -1 : 1;
            }

            var isText = wasInside || depth > 0 || line.Contains(RawQuotes, StringComparison.Ordinal);
            if (line.Length > LongestLine && !isText && !IsLiteralAcross(line))
            {
                yield return index + 1;
            }
        }
    }

    private static bool IsLiteralAcross(string line) =>
        line[..LongestLine].Contains('"') && line[LongestLine..].Contains('"');
}
