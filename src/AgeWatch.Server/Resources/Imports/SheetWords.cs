using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>What the sender says of a sheet's own words: the order of its days, its headings, its units.</summary>
internal sealed record SheetWords(
    DateOrder? DateOrder, IReadOnlyDictionary<string, string> Headings,
    IReadOnlyDictionary<string, DistanceUnit> Units)
{
    /// <summary>In place of a column: the heading is known and its cells are of no use here.</summary>
    public const string LeftOut = "-";

    public static readonly SheetWords None = new(
        null, new Dictionary<string, string>(), new Dictionary<string, DistanceUnit>());

    private static readonly Dictionary<string, DistanceUnit> Usual = new()
    {
        ["km"] = DistanceUnit.Kilometre,
        ["kms"] = DistanceUnit.Kilometre,
        ["kilometre"] = DistanceUnit.Kilometre,
        ["kilometres"] = DistanceUnit.Kilometre,
        ["kilometer"] = DistanceUnit.Kilometre,
        ["kilometers"] = DistanceUnit.Kilometre,
        ["mi"] = DistanceUnit.Mile,
        ["mls"] = DistanceUnit.Mile,
        ["mile"] = DistanceUnit.Mile,
        ["miles"] = DistanceUnit.Mile,
    };

    /// <summary>Reads the parameters, each item a word of the sheet, a colon and what it means here.</summary>
    public static SheetWords Read(ImportQuery query, List<FieldError> errors)
    {
        Dictionary<string, string> headings = [];
        foreach (var (word, meaning) in Pairs(query.Columns, "columns", errors))
        {
            var column = meaning == LeftOut ? LeftOut : Sheet.Fold(meaning);
            if (column != LeftOut && !Columns.All.Contains(column))
            {
                errors.Add(new("unknown-column", $"There is no column \"{Cut(meaning)}\".", Parameter: "columns"));
            }
            else if (!headings.TryAdd(Sheet.Fold(word), column))
            {
                errors.Add(new("doubled", $"The heading \"{Cut(word)}\" is given twice.", Parameter: "columns"));
            }
        }

        Dictionary<string, DistanceUnit> units = [];
        foreach (var (word, meaning) in Pairs(query.Units, "units", errors))
        {
            if (!WireNames.TryRead<DistanceUnit>(meaning, out var unit))
            {
                errors.Add(new("unknown-value", $"A unit is km or mi, not \"{Cut(meaning)}\".", Parameter: "units"));
            }
            else if (!units.TryAdd(Sheet.Fold(word), unit))
            {
                errors.Add(new("doubled", $"The unit \"{Cut(word)}\" is given twice.", Parameter: "units"));
            }
        }

        return new(query.DateOrder, headings, units);
    }

    public DistanceUnit? UnitOf(string word) =>
        Units.TryGetValue(Sheet.Fold(word), out var said) ? said
        : Usual.TryGetValue(Sheet.Fold(word).TrimEnd('.'), out var usual) ? usual
        : null;

    private static IEnumerable<(string Word, string Meaning)> Pairs(
        IReadOnlyList<string>? items, string parameter, List<FieldError> errors)
    {
        foreach (var item in items ?? [])
        {
            if (item.LastIndexOf(':') is > 0 and var colon && colon < item.Length - 1)
            {
                yield return (item[..colon].Trim(), item[(colon + 1)..].Trim());
            }
            else
            {
                errors.Add(new(
                    "wrong-format", $"\"{Cut(item)}\" must be a word of the sheet, a colon and what it means here.",
                    Parameter: parameter));
            }
        }
    }

    private static string Cut(string text) => text.Length > 60 ? text[..60] + "…" : text;
}
