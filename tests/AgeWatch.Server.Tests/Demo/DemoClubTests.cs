using System.Globalization;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Http;
using Microsoft.VisualBasic.FileIO;

namespace AgeWatch.Server.Tests.Demo;

/// <summary>The demo sheet holds what its README says, whatever the import makes of it.</summary>
public sealed class DemoClubTests
{
    private static readonly DateOnly LastDay = new(2026, 6, 28);

    private static readonly List<Dictionary<string, string>> Rows = Read();

    [Fact]
    public void It_has_the_size_that_its_readme_says()
    {
        Assert.Equal(12, Of("member").Count());
        Assert.Equal(25, Of("vehicle").Count());
        Assert.InRange(Of("component").Count(), 500, 600);
        Assert.NotEmpty(Of("task"));
        Assert.Contains(Of("component"), row => Cell(row, "vehicle").Length == 0);
    }

    [Fact]
    public void Every_part_kind_is_known_and_of_the_right_form()
    {
        Assert.All(Of("component"), row =>
            Assert.Equal(PartForm.Component, PartCatalogue.BuiltIn.Find(Cell(row, "part kind"))?.Form));
        Assert.All(Of("task"), row =>
            Assert.Equal(PartForm.ServiceTask, PartCatalogue.BuiltIn.Find(Cell(row, "part kind"))?.Form));
    }

    [Fact]
    public void Every_mark_can_be_read() =>
        Assert.All(Of("component").Where(row => Cell(row, "mark").Length > 0), row =>
            Assert.NotEmpty(ReadMark(row).Readings));

    [Fact]
    public void Marks_of_every_convention_are_there()
    {
        var met = Of("component").Where(row => Cell(row, "mark").Length > 0)
            .SelectMany(row => ReadMark(row).Readings)
                .SelectMany(reading => reading.Conventions)
                .Select(convention => convention.Key);

        Assert.Empty(MarkConventions.All.Select(convention => convention.Key).Except(met));
    }

    [Fact]
    public void No_day_is_later_than_its_readme_says()
    {
        string[] columns = ["seen on", "document on", "fitted on", "last done on", "read on", "registered on"];
        var days = Rows.SelectMany(row => columns.Select(column => Cell(row, column)))
            .Where(day => day.Length > 0)
            .ToList();

        Assert.NotEmpty(days);
        Assert.All(days, day =>
            Assert.True(DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture) <= LastDay, day));
    }

    [Fact]
    public void References_are_unique_and_rows_point_at_rows()
    {
        foreach (var record in Rows.Where(row => Cell(row, "reference").Length > 0).GroupBy(row => Cell(row, "record")))
        {
            Assert.Equal(record.Count(), record.Select(row => Cell(row, "reference")).Distinct().Count());
        }

        var vehicles = Of("vehicle").Select(row => Cell(row, "reference")).ToHashSet();
        var members = Of("member").Select(row => Cell(row, "reference")).ToHashSet();
        Assert.All(Rows.Where(row => Cell(row, "vehicle").Length > 0), row =>
            Assert.Contains(Cell(row, "vehicle"), vehicles));
        Assert.All(Of("vehicle"), row => Assert.Contains(Cell(row, "member"), members));
    }

    /// <summary>RFC 2606 section 3 reserves example.com, example.net and example.org.</summary>
    [Fact]
    public void Mail_to_the_demo_goes_nowhere() =>
        Assert.All(
            Of("member").Select(row => Cell(row, "email")).Where(email => email.Length > 0),
            email => Assert.Matches(@"[@.]example\.(com|net|org)$", email));

    private static MarkAnswer ReadMark(Dictionary<string, string> row)
    {
        var mark = PartCatalogue.BuiltIn.Find(Cell(row, "part kind"))!.Mark;
        return MarkReader.Read(new(Cell(row, "mark"))
        {
            Convention = Cell(row, "convention") is { Length: > 0 } convention ? convention : null,
            Observed = DateOnly.ParseExact(Cell(row, "seen on"), "yyyy-MM-dd", CultureInfo.InvariantCulture),
            Likely = mark.Likely,
            Possible = mark.Possible,
        });
    }

    private static IEnumerable<Dictionary<string, string>> Of(string record) =>
        Rows.Where(row => Cell(row, "record") == record);

    private static string Cell(Dictionary<string, string> row, string column) => row[column];

    private static List<Dictionary<string, string>> Read()
    {
        using var stream = typeof(Problems).Assembly.GetManifestResourceStream("demo-club.csv")!;
        using var sheet = new TextFieldParser(stream) { Delimiters = [","], HasFieldsEnclosedInQuotes = true };
        var columns = sheet.ReadFields()!;
        List<Dictionary<string, string>> rows = [];
        while (sheet.ReadFields() is { } cells)
        {
            rows.Add(columns.Zip(cells).ToDictionary(pair => pair.First, pair => pair.Second));
        }

        return rows;
    }
}
