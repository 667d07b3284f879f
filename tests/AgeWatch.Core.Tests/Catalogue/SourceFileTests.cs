using System.Text.Json;
using AgeWatch.Core.Catalogue;
using Comparison = AgeWatch.Core.Catalogue.Comparison;

namespace AgeWatch.Core.Tests.Catalogue;

/// <summary>
/// The embedded data against Vectors/catalogue.json, the collection of published and practice figures they were made
/// from, which says years where we say months. Each figure there carries its own source tag and reference.
/// </summary>
public sealed class SourceFileTests
{
    private static readonly JsonElement Source =
        JsonDocument.Parse(File.ReadAllText(Path.Combine(
            AppContext.BaseDirectory, "Vectors", "catalogue.json"))).RootElement;

    private static readonly PartCatalogue Ours = PartCatalogue.BuiltIn;

    public static TheoryData<string> Keys =>
        [.. Source.GetProperty("partKinds").EnumerateArray().Select(row => row.GetProperty("key").GetString()!)];

    [Fact]
    public void The_kinds_are_the_same_in_the_same_order()
    {
        Assert.Equal(Keys.Select(row => row.Data), Ours.All.Select(kind => kind.Key));
        Assert.Equal(119, Ours.All.Count);
        Assert.Equal(89, Ours.All.Count(kind => kind.Core));
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Every_age_has_the_number_tag_and_reference_of_the_source(string key)
    {
        var row = Row(key);
        AssertYears(row, "inspectAgeYears", key, LimitLevel.InspectFrom);
        AssertYears(row, "replaceAgeYears", key, LimitLevel.ReplaceBy);
        AssertYears(row, "hardLimitYears", key, LimitLevel.StopUse);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Every_distance_and_interval_has_the_number_tag_and_reference_of_the_source(string key)
    {
        var row = Row(key);
        var kind = Kind(key);
        var distance = kind.Limits.SingleOrDefault(limit => limit.Kilometres is not null);
        AssertNumber(row, "intervalKm", distance?.Kilometres, distance?.Tag, distance?.Reference);
        Assert.True(distance is null or { Level: LimitLevel.ReplaceBy });
        Assert.DoesNotContain(kind.Limits, limit => limit.Hours is not null);

        var months = kind.Inspection.Months;
        AssertNumber(row, "inspectEveryMonths", months.Value, months.Tag, months.Reference);
        var look = kind.Inspection.Kilometres;
        AssertNumber(row, "inspectEveryKm", look?.Value, look?.Tag, look?.Reference);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Hours_hazard_clock_and_rules_are_those_of_the_source(string key)
    {
        var row = Row(key);
        var kind = Kind(key);
        var hours = row.GetProperty("labourHours");
        Assert.Equal(hours.GetProperty("low").GetDecimal(), kind.Labour.Low);
        Assert.Equal(hours.GetProperty("high").GetDecimal(), kind.Labour.High);
        Assert.Equal(SourceTag(hours.GetProperty("tag").GetString()!), kind.Labour.Tag);

        var hazard = row.GetProperty("hazard");
        Assert.Equal(hazard.GetProperty("severity").GetString(), Hyphenated(kind.Hazard.Class));
        Assert.Equal(hazard.GetProperty("failureEvident").GetBoolean(), kind.Hazard.Evident);
        Assert.Equal(hazard.GetProperty("warningTime").GetString() == "none", kind.Hazard.Warning == WarningTime.None);
        Assert.Equal(Why(key), kind.Hazard.Why);

        var clock = row.GetProperty("ageClockStarts").GetString();
        Assert.Equal(clock == "install" ? "fitting" : clock, Hyphenated(kind.Clock));
        Assert.All(kind.Limits.Where(limit => limit.Months is not null), limit =>
            Assert.Equal(kind.Clock, limit.Anchor));

        Assert.Equal(row.GetProperty("taskType").GetString(), Hyphenated(kind.Task));
        Assert.Equal(row.GetProperty("deferral").GetString(), Hyphenated(kind.Deferral));
        Assert.Equal(row.GetProperty("core").GetBoolean(), kind.Core);
        Assert.Equal(row.GetProperty("system").GetString(), kind.System);
        Assert.Equal(row.GetProperty("name").GetString(), kind.Name);
        Assert.Equal(Texts(row, "limitedBy"), kind.LimitedBy.Select(Hyphenated));
        Assert.Equal(Texts(row, "accessAreas"), kind.Areas);
        Assert.Equal(Texts(row, "opensSystem"), kind.Opens);
        Assert.Equal(Texts(row, "conditionSigns"), kind.Signs);
        Assert.Equal(Texts(row, "citations").Where(id => id != "P"), kind.Citations);
    }

    /// <summary>The count stated with the source file: of 113 ages 22 published, 4 from memory, 87 practice.</summary>
    [Fact]
    public void The_tags_of_the_replacement_ages_count_as_stated()
    {
        var tags = Ours.All.Select(kind => kind.AgeLimit(LimitLevel.ReplaceBy)?.Tag)
            .Where(tag => tag is not null)
            .ToList();

        Assert.Equal(113, tags.Count);
        Assert.Equal(22, tags.Count(tag => tag == Tag.Standard));
        Assert.Equal(4, tags.Count(tag => tag == Tag.Memory));
        Assert.Equal(87, tags.Count(tag => tag == Tag.Practice));
    }

    /// <summary>The source has one row more, "P", which stands for practice without a source; our tag says
    /// that.</summary>
    [Fact]
    public void References_have_the_tag_and_citation_of_the_source()
    {
        var rows = Source.GetProperty("references").EnumerateArray().Where(row => Text(row, "id") != "P").ToList();
        Assert.Equal(rows.Select(row => Text(row, "id")), Ours.References.Select(reference => reference.Id));
        foreach (var row in rows)
        {
            var reference = Ours.FindReference(Text(row, "id"));
            Assert.NotNull(reference);
            Assert.Equal(SourceTag(Text(row, "tag")), reference.Tag);
            Assert.Equal(Text(row, "citation"), reference.Citation);
            Assert.Equal(Text(row, "url"), string.Join(" ; ", reference.Urls));
            Assert.Equal(Text(row, "seen"), reference.Seen);
        }
    }

    [Fact]
    public void Thresholds_have_the_values_of_the_source()
    {
        var rows = Source.GetProperty("thresholds").EnumerateArray().ToList();
        Assert.Equal(rows.Select(row => Text(row, "id")), Ours.Thresholds.Select(threshold => threshold.Id));
        foreach (var (row, threshold) in rows.Zip(Ours.Thresholds))
        {
            var value = row.GetProperty("value");
            decimal[] expected = value.ValueKind == JsonValueKind.Array
                ? [.. value.EnumerateArray().Select(end => end.GetDecimal())]
                : [value.GetDecimal()];
            Assert.Equal(expected, threshold.UpTo is { } upTo ? [threshold.Value, upTo] : [threshold.Value]);
            Assert.Equal(Text(row, "unit"), threshold.Unit);
            Assert.Equal(Text(row, "quantity"), threshold.Quantity);
            Assert.Equal(Text(row, "note"), threshold.Note);
            Assert.Equal(Text(row, "citation"), threshold.Reference);
            Assert.Equal(Ours.FindReference(threshold.Reference)?.Tag, threshold.Tag);
            Assert.Equal(Sign(Text(row, "comparator")), threshold.Comparison);
        }
    }

    private static Comparison Sign(string comparator) => comparator switch
    {
        ">=" => Comparison.AtLeast,
        "<=" => Comparison.AtMost,
        "<" => Comparison.Below,
        "~" => Comparison.About,
        "none" => Comparison.NoneSeen,
        "range" => Comparison.Within,
        _ => throw new ArgumentOutOfRangeException(nameof(comparator), comparator, null),
    };

    private static void AssertYears(JsonElement row, string member, string key, LimitLevel level)
    {
        var limit = Kind(key).AgeLimit(level);
        if (row.GetProperty(member) is { ValueKind: JsonValueKind.Number } years)
        {
            Assert.NotNull(limit);
            Assert.Equal(years.GetDecimal() * 12, limit.Months!.Value);
            AssertSource(row, member, limit.Tag, limit.Reference);
        }
        else
        {
            Assert.Null(limit);
        }
    }

    private static void AssertNumber(JsonElement row, string member, int? number, Tag? tag, string? reference)
    {
        if (row.GetProperty(member) is { ValueKind: JsonValueKind.Number } expected)
        {
            Assert.Equal(expected.GetInt32(), number);
            AssertSource(row, member, tag, reference);
        }
        else
        {
            Assert.Null(number);
        }
    }

    private static void AssertSource(JsonElement row, string member, Tag? tag, string? reference)
    {
        var source = row.GetProperty("numberTags").GetProperty(member);
        Assert.Equal(SourceTag(source.GetProperty("tag").GetString()!), tag);
        Assert.Equal(source.GetProperty("ref").GetString(), reference);
    }

    private static Tag SourceTag(string tag) => tag switch
    {
        "SOURCE" => Tag.Standard,
        "MEMORY" => Tag.Memory,
        "PRACTICE" => Tag.Practice,
        _ => throw new ArgumentOutOfRangeException(nameof(tag), tag, null),
    };

    /// <summary>"As above" is the reason of the row before; a kind that is shown by itself says it in full.</summary>
    private static string Why(string key) => Source.GetProperty("partKinds").EnumerateArray()
        .TakeWhile(row => Text(row, "key") != key).Append(Row(key))
        .Select(row => Text(row.GetProperty("hazard"), "why")).Last(why => why != "As above");

    private static JsonElement Row(string key) =>
        Source.GetProperty("partKinds").EnumerateArray().Single(row => Text(row, "key") == key);

    private static PartKind Kind(string key) =>
        Ours.Find(key) ?? throw new InvalidOperationException($"There is no kind {key}.");

    private static string Text(JsonElement row, string member) => row.GetProperty(member).GetString()!;

    private static IEnumerable<string> Texts(JsonElement row, string member) =>
        row.GetProperty(member).EnumerateArray().Select(item => item.GetString()!);

    private static string Hyphenated<T>(T value) where T : struct, Enum =>
        JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());
}
