using System.Globalization;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
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

    /// <summary>Parts are not made long before their car: whoever says so had better look at the mark again.</summary>
    [Fact]
    public void No_part_is_ten_years_older_than_its_car_without_saying_so()
    {
        var built = Of("vehicle").Where(row => Cell(row, "built").Length > 0)
            .ToDictionary(row => Cell(row, "reference"), row => DateSpan.Year(int.Parse(
                Cell(row, "built")[..4], CultureInfo.InvariantCulture)));
        var asked = 0;
        foreach (var row in Of("component").Where(row => Cell(row, "mark").Length > 0))
        {
            if (!built.TryGetValue(Cell(row, "vehicle"), out var car))
            {
                continue;
            }

            var answer = Assess(row, car);
            Assert.Equal(
                answer.Born is { Readings.Count: > 0, Span: { } born } && born.First.AddYears(10) < car.First,
                answer.Notes.Any(note => note.Code == DueNoteCode.OlderThanVehicle));
            asked++;
        }

        Assert.True(asked > 400, $"{asked} marks.");
    }

    private static DueAnswer Assess(Dictionary<string, string> row, DateSpan built)
    {
        var kind = PartCatalogue.BuiltIn.Find(Cell(row, "part kind"))!;
        var vehicle = new VehicleFacts { Built = built };
        var convention = Cell(row, "convention") is { Length: > 0 } named ? named : null;
        var isOriginal = Cell(row, "original") == "yes";
        var question = MarkEvidence.Question(
            Cell(row, "mark"), convention, Day(row, "seen on"), kind, vehicle, isOriginal, knownOn: null);
        var mark = new Evidence { Kind = EvidenceKind.Mark, On = Day(row, "seen on"), Text = Cell(row, "mark") };
        List<Evidence> evidence = [mark.Read(MarkReader.Read(question), convention)];
        if (Day(row, "document on") is { } bought)
        {
            evidence.Add(new() { Kind = EvidenceKind.Document, On = bought });
        }

        if (Day(row, "fitted on") is { } fitted)
        {
            evidence.Add(new() { Kind = EvidenceKind.Fitted, On = fitted });
        }

        return DueAssessment.Assess(new()
        {
            AsOf = LastDay,
            Kind = KindRules.From(kind, PartCatalogue.BuiltIn),
            Vehicle = vehicle,
            Subject = new ComponentFacts { Original = isOriginal, Evidence = evidence },
        });
    }

    private static DateOnly? Day(Dictionary<string, string> row, string column) =>
        Cell(row, column) is { Length: > 0 } day
        ? DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture)
        : null;

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
